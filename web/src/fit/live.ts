// Asks the server while a body is dragged: one request under way at most, always with the newest position.
//
// There is no timer: the next position goes out when the last answer is in, so the server's own pace is the rate.

export class Live<Position, Answer> {
  #waiting: Position | undefined;
  #under_way: AbortController | undefined;
  #turn = 0;

  constructor(
    private readonly ask: (position: Position, seq: number, signal: AbortSignal) => Promise<Answer | null>,
    private readonly answered: (answer: Answer, position: Position) => void,
    private readonly failed: (error: unknown) => void,
  ) {}

  /** The newest position; an older one that has not gone out is forgotten. */
  offer(position: Position): void {
    this.#waiting = position;
    if (this.#under_way === undefined) void this.#run();
  }

  /** Nothing more is asked, and an answer that still comes is dropped. */
  stop(): void {
    this.#turn += 1;
    this.#waiting = undefined;
    this.#under_way?.abort();
    this.#under_way = undefined;
  }

  async #run(): Promise<void> {
    const turn = this.#turn;
    while (this.#waiting !== undefined && turn === this.#turn) {
      const position = this.#waiting;
      this.#waiting = undefined;
      const controller = new AbortController();
      this.#under_way = controller;
      try {
        const answer = await this.ask(position, nextSeq(), controller.signal);
        if (turn === this.#turn && answer !== null) this.answered(answer, position);
      } catch (error) {
        if (turn === this.#turn) this.failed(error);
      }
      if (turn === this.#turn) this.#under_way = undefined;
    }
  }
}

let seq = 0;

/** Counts up for as long as the page is open: the server answers a client's latest number only. */
function nextSeq(): number {
  seq += 1;
  return seq;
}
