// Asks the server; of each sort only the newest question waits.

const token = new URLSearchParams(location.hash.slice(1)).get("token") ?? "";
const tab = crypto.randomUUID();

export class Refused extends Error {
  constructor(status, answer) {
    super(answer.said ?? "the server does not answer");
    this.status = status;
    this.answer = answer;
  }
}

/** Ask once. Throws Refused; its status is 0 where there is no server. */
export async function ask(what, asked) {
  let got;
  try {
    got = await fetch(`ask/${what}`, {
      method: "POST",
      headers: { "content-type": "application/json", "x-circuitcheck-token": token },
      body: JSON.stringify({ ...asked, tab }),
    });
  } catch {
    throw new Refused(0, {});
  }
  const answer = await got.json().catch(() => ({}));
  if (!got.ok) throw new Refused(got.status, answer);
  return answer;
}

/** Questions of one sort: one is on its way, one waits, older ones are forgotten. */
export class Line {
  constructor(what, answered, failed) {
    this.what = what;
    this.answered = answered;
    this.failed = failed;
    this.next = null;
    this.busy = false;
  }

  /** Ask; `about` comes back beside the answer. */
  async put(asked, about) {
    this.next = [asked, about];
    if (this.busy) return;
    this.busy = true;
    while (this.next) {
      const [question, said] = this.next;
      this.next = null;
      try {
        const answer = await ask(this.what, question);
        this.answered(answer, said, this.next === null);
      } catch (problem) {
        if (!(problem instanceof Refused)) { this.busy = false; throw problem; }
        if (problem.status !== 410) this.failed(problem, this.what);
      }
    }
    this.busy = false;
  }

  forget() { this.next = null; }
}
