/** Where the turn of an inbound id is kept, and when it came (epoch milliseconds on the machine's clock). */
export interface KnownInbound {
  readonly turn: number;
  readonly keptAt: number;
}

/** The inbound ids of one line that a carrier may still repeat, by hash, oldest first. */
export class RecentInbound {
  readonly #known = new Map<number, KnownInbound>();

  /** Forgets what came before `forgetBefore` (epoch milliseconds). */
  add(hashed: number, known: KnownInbound, forgetBefore: number): void {
    for (const [oldest, { keptAt }] of this.#known) {
      if (keptAt >= forgetBefore) break;
      this.#known.delete(oldest);
    }
    this.#known.set(hashed, known);
  }

  turnOf(hashed: number, forgetBefore: number): number | undefined {
    const known = this.#known.get(hashed);
    return known === undefined || known.keptAt < forgetBefore ? undefined : known.turn;
  }
}
