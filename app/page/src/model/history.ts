// Texts, one after another: undo is an earlier one.
export interface Past {
  text: string;
  what: string; // what the edit after it was, in words
}

const most = 200; // a car file is a few kilobytes

export class History {
  private past: Past[] = [];
  private future: Past[] = [];

  constructor(public text: string) {}

  get undoes(): string | null {
    return this.past.at(-1)?.what ?? null;
  }
  get redoes(): string | null {
    return this.future.at(-1)?.what ?? null;
  }

  // A new text; what was undone before is gone. The same text again is no edit.
  edit(text: string, what: string): boolean {
    if (text === this.text) return false;
    this.past.push({ text: this.text, what });
    if (this.past.length > most) this.past.shift();
    this.future = [];
    this.text = text;
    return true;
  }

  undo(): boolean {
    const last = this.past.pop();
    if (!last) return false;
    this.future.push({ text: this.text, what: last.what });
    this.text = last.text;
    return true;
  }

  redo(): boolean {
    const next = this.future.pop();
    if (!next) return false;
    this.past.push({ text: this.text, what: next.what });
    this.text = next.text;
    return true;
  }
}
