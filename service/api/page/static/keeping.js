// Answers survive a reload in the tab they were given in; nothing of them leaves the machine, and closing the tab drops them.

const PLACE = "answers";

const questions = () => [...document.querySelectorAll("form.step input, form.step select, #sheet-form input, #shown-kN, #shown-kg")];

// With what was opened on the last step, where something was.
export function keep(step, opened) {
  const answers = {};
  for (const one of questions()) {
    if (one.type !== "radio") answers[one.id] = one.value;
    else if (one.checked) answers[`picked ${one.name}`] = one.value;
  }
  write(JSON.stringify({ step, answers, opened }));
}

function write(text) {
  try {
    sessionStorage.setItem(PLACE, text);
  } catch (failure) {
    // Where the browser keeps nothing, the page still works until it is reloaded.
    if (!(failure instanceof DOMException)) throw failure;
  }
}

export function kept() {
  try {
    return JSON.parse(sessionStorage.getItem(PLACE));
  } catch (failure) {
    if (failure instanceof DOMException || failure instanceof SyntaxError) return null;
    throw failure;
  }
}

export function forget() {
  write("null");
}

export function putBack(answers) {
  for (const one of questions()) {
    if (one.type === "radio") one.checked = answers[`picked ${one.name}`] === one.value;
    else if (answers[one.id] !== undefined && (one.tagName !== "SELECT" || [...one.options].some(({ value }) => value === answers[one.id]))) one.value = answers[one.id];
  }
}
