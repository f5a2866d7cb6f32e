// Sizing, verification of the best choice, sheet, as-built check and replay by the types of openapi-typescript:
//   node walk.js ADDRESS SIZING_REQUEST

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import createClient from "openapi-fetch";
import type { components, paths } from "./contract.js";

type Schemas = components["schemas"];

const [address, file] = process.argv.slice(2);
assert(address !== undefined && file !== undefined, "usage: walk.js ADDRESS SIZING_REQUEST");
const client = createClient<paths>({ baseUrl: address });

function answered<Answer>(reply: { data?: Answer; error?: unknown }): Answer {
  assert(reply.data !== undefined, JSON.stringify(reply.error));
  return reply.data;
}

const asked: Schemas["SizingRequest"] = JSON.parse(readFileSync(file, "utf-8"));
const sized = answered(await client.POST("/v1/sizings", { body: asked }));
const best = sized.choices[0];
assert(best !== undefined, "no choice");

const request: Schemas["VerificationRequest"] = best.request;
const answer = answered(await client.POST("/v1/verifications", { body: request }));
assert.equal(answer.verdict, "verified");
assert.deepEqual(answer.governing, best.governing);

const record: Schemas["ReplayRequest"] = { request, answer };
const sheet = answered(await client.POST("/v1/installation-sheets", { body: { fixings: [record] } }));
assert(typeof sheet !== "string", "a sheet in JSON was asked for");
assert.equal(sheet.fixings[0]?.proof.record_id, answer.record.id);

const done: Schemas["AsBuilt"] = { moved: [], torque_nm: best.torque_nm };
const built = answered(await client.POST("/v1/as-built-checks", { body: { record, as_built: done } }));
assert.equal(built.came_from_record, answer.record.id);
assert.equal(built.verdict_before, "verified");

const replayed = answered(await client.POST("/v1/replays", { body: record }));
assert.equal(replayed.outcome, "identical");

// A request of required fields alone sends nothing that its user did not say.
const bare: Schemas["VerificationRequest"] = {
  fastener: { family: "screw-zinc", size: "8", embedment_mm: 55 },
  member: { thickness_mm: 200 },
  fixture: { width_mm: 180, depth_mm: 80 },
  positions: [{ x_mm: 0, y_mm: 0 }],
  load_cases: [{ name: "pull", normal_kn: 1 }],
};
const assumed = answered(await client.POST("/v1/verifications", { body: bare })).assumptions;
console.log(JSON.stringify({ chosen: `${best.fastener.family} ${best.fastener.size}, ${replayed.outcome}`, assumed }));
