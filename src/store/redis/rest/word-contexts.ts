/** How many words before the next one are looked at together, the most first. Part of the form: never to be changed. */
const reaches = [8, 4, 2, 1] as const;
const longest = reaches[0];

/** How many contexts there are, and how many words each foresees. */
export const contextCount = reaches.length;
export const candidates = 3;
export const nobody = 0xffff;

const placeBits = 17;
const width = candidates + 1;
const mostTrust = 15;

/**
 * Which words came after the last eight, four, two and one; of each context the three latest, and how often in a row it was right.
 * Contexts lie in a table without chains: where two fall together the newer one takes the place.
 */
export class WordContexts {
  /** Of each place: what tells the context from another that falls there, then its words, the likeliest first. */
  readonly #words = new Uint16Array(width << placeBits);
  readonly #trust = new Uint8Array(1 << placeBits);
  readonly #last = new Uint16Array(longest);
  readonly #hashes = new Uint32Array(contextCount);

  become(other: WordContexts): void {
    this.#words.set(other.#words);
    this.#trust.set(other.#trust);
    this.#last.set(other.#last);
  }

  /** Begins as if nothing had gone before. */
  start(): void {
    this.#last.fill(0);
  }

  /** The word `back` words ago; 1 is the last one. */
  before(back: number): number {
    return this.#last[longest - back] ?? 0;
  }

  /** Looks where the contexts of the next word lie. To be called once for each word, before the others. */
  look(): void {
    let hash = 0;
    let back = 0;
    for (let context = contextCount - 1; context >= 0; context--) {
      for (const reach = reaches[context] ?? 0; back < reach; back++) {
        hash = Math.imul(hash ^ ((this.#last[longest - 1 - back] ?? 0) + 1), 0x9e3779b1);
        hash ^= hash >>> 15;
      }
      this.#hashes[context] = Math.imul(hash + context + 1, 0x85ebca6b);
    }
  }

  hashOf(context: number): number {
    return this.#hashes[context] ?? 0;
  }

  isKnown(context: number): boolean {
    const hash = this.hashOf(context);
    return this.#words[placeOf(hash) * width] === checkOf(hash);
  }

  /** How often in a row its likeliest word came, 0-15. */
  trustIn(context: number): number {
    return this.#trust[placeOf(this.hashOf(context))] ?? 0;
  }

  /** The word that a known context gives first, second or third (`rank` 0-2); `nobody` for none. */
  candidate(context: number, rank: number): number {
    return this.#words[placeOf(this.hashOf(context)) * width + 1 + rank] ?? nobody;
  }

  /** The word that came. Contexts shorter than `foreseenIn`, which foresaw it, have nothing to learn; the last when none did. */
  learn(id: number, foreseenIn: number): void {
    for (let context = 0; context <= foreseenIn; context++) this.#learnIn(this.hashOf(context), id);
    this.#last.copyWithin(0, 1);
    this.#last[longest - 1] = id;
  }

  #learnIn(hash: number, id: number): void {
    const words = this.#words;
    const place = placeOf(hash);
    const at = place * width;
    if (words[at] !== checkOf(hash)) {
      words[at] = checkOf(hash);
      words[at + 1] = id;
      words[at + 2] = nobody;
      words[at + 3] = nobody;
      this.#trust[place] = 0;
      return;
    }
    const trust = this.#trust[place] ?? 0;
    if (words[at + 1] === id) {
      if (trust < mostTrust) this.#trust[place] = trust + 1;
      return;
    }
    this.#trust[place] = trust >> 2;
    if (words[at + 2] !== id) words[at + 3] = words[at + 2] ?? nobody;
    words[at + 2] = words[at + 1] ?? nobody;
    words[at + 1] = id;
  }
}

function placeOf(hash: number): number {
  return hash >>> (32 - placeBits);
}

function checkOf(hash: number): number {
  return hash & 0xffff || 1;
}
