// Calls of the public API; whatever goes wrong becomes a Trouble with words in it.

import { say } from "./words.js";

const PATIENCE_MS = 30000;

export class Trouble extends Error {
  constructor(words, errors = [], title = say("That did not work")) {
    super(words);
    this.errors = errors;
    this.title = title;
  }
}

async function reach(path, options) {
  try {
    return await fetch(path, { ...options, signal: AbortSignal.timeout(PATIENCE_MS) });
  } catch (failure) {
    if (!navigator.onLine) {
      throw new Trouble(say("This device is offline. Your answers are still here: try again when it has a connection."), [], say("No connection"));
    }
    if (failure.name === "TimeoutError") {
      throw new Trouble(say("The service took longer than half a minute. Your answers are still here: try again."), [], say("No answer in time"));
    }
    throw new Trouble(say("The service can’t be reached. Your answers are still here: try again in a minute, and tell whoever runs it if it stays so."), [], say("The service is down"));
  }
}

async function troubleOf(response) {
  const problem = await response.json().catch(() => null);
  if (!problem) {
    return new Trouble(say("The service answered {status} and gave no reason. Try again in a minute.", { status: String(response.status) }));
  }
  const titles = { 503: say("The service has no rulebook to answer by"), 409: say("There is no sheet for this"), 422: say("Some answers have to be changed") };
  const title = titles[response.status] ?? say("The service refused this");
  // Where the errors say it all, the words around them are for programs.
  if (problem.errors?.length) return new Trouble(say("This is in the way:"), problem.errors, title);
  return new Trouble(say("Your answers are still here. Tell whoever runs the service: {detail}", { detail: problem.detail }), [], title);
}

export async function ask(path, body, accept = "application/json") {
  const headers = { Accept: `${accept}, application/problem+json` };
  const options = body === undefined ? { headers } : {
    method: "POST", headers: { ...headers, "Content-Type": "application/json" }, body: JSON.stringify(body),
  };
  const response = await reach(path, options);
  if (!response.ok) throw await troubleOf(response);
  const answer = accept === "application/json" ? response.json() : response.blob();
  return answer.catch(() => {
    throw new Trouble(say("The answer broke off on its way. Your answers are still here: try again."), [], say("Half an answer"));
  });
}
