import { describe, expect, it } from 'vitest';
import { run, whyNoRedis } from '../contract/redis-server.ts';

/** Bytes. A million mothers are then 2.5 GB, which one server holds. */
const most = 2_560;

describe.skipIf(whyNoRedis() !== undefined)('a mother with a month of history', () => {
  it('takes at most 2.5 KB in Redis, all keys and what the server needs for them counted', async () => {
    const { stdout } = await run(process.execPath, ['tests/bench/bench.mjs', '--memory=4000']);
    const bytes = Number(/^Redis +(\d+) bytes a mother/m.exec(stdout)?.[1]);
    expect(bytes, stdout).toBeGreaterThan(1_000);
    expect(bytes, stdout).toBeLessThanOrEqual(most);
  });
});
