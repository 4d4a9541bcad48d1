// A car of one's own, question by question. The core says which questions there are and what comes
// of the answers; here stands which one is shown, and what was answered. Nothing is lost by going
// back, nor by a reload: every change is handed on to be kept.
import type { Started, StartQuestion } from './contract';
import type { Engine } from './engine';

export interface StartDraft {
  answers: Record<string, string>; // by the question's or value's id
  at: string; // the question shown; 'end' is the summary
  open: boolean; // it is on the screen; else it was left and can be gone on with
}
export const noDraft: StartDraft = { answers: {}, at: '', open: true };

export interface StartView {
  draft: StartDraft;
  started: Started | null; // null until the core has answered once
  asking: boolean;
  complaint: string; // why it does not go on
  trouble: string; // what went wrong and is not the answers' fault
  said: string; // for those who cannot see what changed
}

export class StartSteps {
  view: StartView;
  private readonly listeners = new Set<(view: StartView) => void>();
  private turn = 0; // counts answers: a reply to older ones is not shown

  constructor(
    private readonly engine: Pick<Engine, 'ask'>,
    draft: StartDraft,
    private readonly keep: (draft: StartDraft) => void,
  ) {
    this.view = {
      draft: { ...draft, open: true },
      started: null,
      asking: false,
      complaint: '',
      trouble: '',
      said: '',
    };
  }

  subscribe(listener: (view: StartView) => void): () => void {
    this.listeners.add(listener);
    listener(this.view);
    return () => this.listeners.delete(listener);
  }
  private show(change: Partial<StartView>): void {
    const kept = this.view.draft;
    this.view = { ...this.view, ...change };
    if (this.view.draft !== kept) this.keep(this.view.draft);
    for (const listener of this.listeners) listener(this.view);
  }

  get questions(): StartQuestion[] {
    return this.view.started?.questions ?? [];
  }
  // Of the question shown: its place, or the number of questions for the summary.
  get place(): number {
    if (this.view.draft.at === 'end') return this.questions.length;
    const place = this.questions.findIndex((q) => q.id === this.view.draft.at);
    return Math.max(0, place);
  }
  get question(): StartQuestion | null {
    return this.questions[this.place] ?? null;
  }
  // "2 of 9"; the summary is the last.
  get progress(): string {
    return `${this.place + 1} of ${this.questions.length + 1}`;
  }
  // What is wrong with one answer; empty where nothing is.
  faultOf(id: string): string {
    return this.view.started?.faults.find((f) => f.question === id)?.what ?? '';
  }

  // Asks the core what comes of the answers as they are now. False where it could not say, or newer
  // answers came meanwhile.
  async ask(): Promise<boolean> {
    const turn = ++this.turn;
    this.show({ asking: true });
    const answers = Object.entries(this.view.draft.answers).map(([question, answer]) => ({
      question,
      answer,
    }));
    try {
      const started = await this.engine.ask('start', { answers });
      if (turn !== this.turn) return false;
      this.show({ started, asking: false, trouble: '' });
      return true;
    } catch (error) {
      if (turn === this.turn)
        this.show({ asking: false, trouble: `This could not be worked out: ${String(error)}` });
      return false;
    }
  }

  private answer(id: string, answer: string): void {
    const draft = this.view.draft;
    this.show({
      draft: { ...draft, answers: { ...draft.answers, [id]: answer } },
      complaint: '',
    });
  }
  // One of the choices.
  async pick(id: string, choice: string): Promise<void> {
    this.answer(id, choice);
    await this.ask();
  }
  // A value as it is typed; it is looked at when somebody wants to go on.
  type(id: string, value: string): void {
    this.answer(id, value);
  }

  async next(): Promise<void> {
    if (!(await this.ask())) return;
    const q = this.question;
    if (!q) return;
    if (q.choices.length > 0 && !q.choices.some((c) => c.id === this.view.draft.answers[q.id])) {
      this.show({ complaint: `Pick one to go on. If none fits, take the last one.` });
      return;
    }
    if ([q.id, ...q.values.map((v) => v.id)].some((id) => this.faultOf(id) !== '')) {
      this.show({ complaint: 'Something typed here cannot be: see below.' });
      return;
    }
    this.go(this.place + 1);
  }
  back(): void {
    if (this.place > 0) this.go(this.place - 1);
  }
  private go(place: number): void {
    const at = this.questions[place]?.id ?? 'end';
    this.show({ draft: { ...this.view.draft, at }, complaint: '' });
    this.show({
      said: this.question ? `${this.progress}: ${this.question.question}` : 'The summary',
    });
  }

  leave(): void {
    this.show({ draft: { ...this.view.draft, open: false } });
  }
}

// The name of the file that the car is kept as.
export function fileName(carName: string): string {
  const plain = carName
    .trim()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase();
  return `${plain || 'my-car'}.toml`;
}
