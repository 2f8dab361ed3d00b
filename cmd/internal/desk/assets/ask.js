// Asking the server. Everything goes to where the page came from.

// Refused carries what the server said: words, or the problems of a text.
export class Refused extends Error {
  constructor(body, status) {
    super(body.trouble || (body.problems || []).map(p => p.message).join("\n") || `the answer was ${status}`);
    this.problems = body.problems || null;
    this.busy = status === 503;
    this.away = status === 0; // nobody answered
  }
}

async function post(path, body, signal) {
  let reply;
  try {
    reply = await fetch(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body), signal });
  } catch (trouble) {
    if (trouble.name === "AbortError") throw trouble;
    throw new Refused({ trouble: "ampwake does not answer: is it still running in its terminal?" }, 0);
  }
  if (!reply.ok) throw new Refused(await reply.json().catch(() => ({})), reply.status);
  return reply;
}

export async function get(path) {
  const reply = await fetch(path);
  if (!reply.ok) throw new Refused(await reply.json().catch(() => ({})), reply.status);
  return reply.json();
}

export const sail = async (body, signal) => (await post("/api/sail", body, signal)).json();

// odds reads the stream of many weathers and calls on[event] with what each event
// tells. It ends when the stream does, or when signal says so.
export async function odds(body, on, signal) {
  const reply = await post("/api/odds", body, signal);
  const reader = reply.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    rest += value;
    const events = rest.split("\n\n");
    rest = events.pop();
    for (const text of events) {
      const event = /^event: (.*)$/m.exec(text);
      const data = /^data: (.*)$/m.exec(text);
      if (event && data && on[event[1]]) on[event[1]](JSON.parse(data[1]));
    }
  }
}

// download has a file made and gives it to the reader to keep.
export async function download(name, body, as) {
  const reply = await post("/api/files/" + name, body);
  give(await reply.blob(), as);
}

export function give(blob, as) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = as;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}
