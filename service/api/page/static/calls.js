// Calls of the public API; whatever goes wrong becomes a Trouble with words in it.

const PATIENCE_MS = 30000;

export class Trouble extends Error {
  constructor(words, errors = [], title = "That did not work") {
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
      throw new Trouble("This device is offline. Your answers are still here: try again when it has a connection.", [], "No connection");
    }
    if (failure.name === "TimeoutError") {
      throw new Trouble("The service took longer than half a minute. Your answers are still here: try again.", [], "No answer in time");
    }
    throw new Trouble("The service can’t be reached. Your answers are still here: try again in a minute, and tell whoever runs it if it stays so.", [], "The service is down");
  }
}

async function troubleOf(response) {
  const problem = await response.json().catch(() => null);
  if (!problem) {
    return new Trouble(`The service answered ${response.status} and gave no reason. Try again in a minute.`);
  }
  const titles = { 503: "The service has no rulebook to answer by", 409: "There is no sheet for this", 422: "Some answers have to be changed" };
  // Where the errors say it all, the words around them are for programs.
  const words = problem.errors?.length && [409, 422].includes(response.status) ? "This is in the way:" : problem.detail;
  return new Trouble(words, problem.errors ?? [], titles[response.status] ?? problem.title);
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
    throw new Trouble("The answer broke off on its way. Your answers are still here: try again.", [], "Half an answer");
  });
}
