import { afterAll, expect, it } from 'vitest';
import { type RedisServer, startRedis, whyNoRedis } from '../contract/redis-server.ts';
import { differences, type Kept } from './kept.ts';

/** Where a journey's line keeps what it is told. */
export type JourneyStore = 'sqlite' | 'redis';

/** Why no journey can be walked on Redis here, or undefined. In CI this is thrown: see `whyNoRedis`. */
export const noRedis = whyNoRedis();

/** The stores on which every journey is walked. */
export const journeyStores: readonly JourneyStore[] =
  noRedis === undefined ? ['sqlite', 'redis'] : ['sqlite'];

/** Each of the ways on each of the stores, all of one store first. */
export function onEachStore<T extends object>(
  ways: readonly T[],
): readonly (T & { readonly on: JourneyStore })[] {
  return journeyStores.flatMap((on) => ways.map((way) => ({ ...way, on })));
}

const walked: Record<JourneyStore, Kept[]> = { sqlite: [], redis: [] };

/** Notes what came of a journey when its line is closed; the journeys of a file are walked in the same order on each store. */
export function noteWalked(on: JourneyStore, kept: Kept): void {
  walked[on].push(kept);
}

/** To be called last in a file of journeys: what they left on one store is what they left on the other, entry by entry. */
export function expectTheSameOnEachStore(): void {
  const why = noRedis === undefined ? '' : ` (${noRedis})`;
  it.skipIf(noRedis !== undefined)(`the same is kept and sent on either store, entry by entry${why}`, () => {
    expect(walked.sqlite.length).toBeGreaterThan(0);
    expect(walked.redis.length).toBe(walked.sqlite.length);
    expect(walked.sqlite.flatMap(({ lines }) => lines.flatMap((l) => l.journal)).length).toBeGreaterThan(0);
    walked.sqlite.forEach((kept, i) => {
      expect(differences(kept, walked.redis[i] ?? { lines: [], sent: [] }), `journey ${i + 1}`).toEqual([]);
    });
  });
}

let server: Promise<RedisServer> | undefined;
let places = 0;

/** One server with the append-only file for all journeys of a test file, and a prefix of its own for each. */
export async function journeyRedis(): Promise<{ readonly url: string; readonly prefix: string }> {
  server ??= startRedis('always');
  places += 1;
  return { url: (await server).url, prefix: `journey-${places}` };
}

afterAll(async () => {
  await (await server)?.stop();
});
