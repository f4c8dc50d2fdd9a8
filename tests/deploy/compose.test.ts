import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { connect } from 'node:net';
import { createClient } from 'redis';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import { readConfig, settingsTable } from '../../src/config.ts';
import { startRedis, whyNoRedis } from '../contract/redis-server.ts';

/** The parts of a compose file that matter here, by the Compose Specification (compose-spec on GitHub, `spec.md`). */
const service = z.looseObject({
  image: z.string(),
  build: z.string().optional(),
  user: z.string(),
  command: z.array(z.string()).optional(),
  environment: z.record(z.string(), z.string()).default({}),
  healthcheck: z.looseObject({ test: z.array(z.string()), interval: z.string(), timeout: z.string() }),
  volumes: z.array(z.string()).default([]),
  ports: z.array(z.string()).default([]),
  restart: z.literal('unless-stopped'),
  stop_grace_period: z.string(),
  read_only: z.literal(true),
  cap_drop: z.tuple([z.literal('ALL')]),
  depends_on: z.record(z.string(), z.object({ condition: z.string() })).default({}),
});
const source = readFileSync('compose.yaml', 'utf8');
const { services, volumes } = z
  .looseObject({ services: z.record(z.string(), service), volumes: z.record(z.string(), z.unknown()) })
  .parse(parse(source, { merge: true }));
const line = Object.entries(services).filter(([name]) => name !== 'redis');
const redis = services['redis'];

/** What an operator puts into `.env`; all invented. */
const given: Readonly<Record<string, string>> = {
  REDIS_PASSWORD: 'letters0and1digits',
  SEALING_KEYS: `k1:${Buffer.alloc(32, 1).toString('base64')}`,
  LINE_PEPPER: 'a-pepper-of-some-length',
  METRICS_TOKEN: 'a-token-of-some-length',
  TWILIO_ACCOUNT_SID: `AC${'0d'.repeat(16)}`,
};
/** Puts the operator's values in, as compose does with `${NAME:?words}`. */
const filled = (text: string) =>
  text.replace(/\$\{(\w+):\?[^}]*\}/g, (_, name: string) => {
    const value = given[name];
    if (value === undefined) throw new Error(`Nothing says what ${name} is.`);
    return value;
  });
const carrier = {
  TWILIO_AUTH_TOKEN: 'a-token-of-32-characters-0123456',
  TWILIO_NUMBER: '+447700900000',
  PUBLIC_URL: 'https://line.example.test',
  COUNSELLORS: 'anita:Anita:+447700900011:en:lead',
};

describe('compose.yaml', () => {
  test('brings Redis, two web processes and one worker', () => {
    const roles = line.map(([, each]) => each.environment['ROLE']);
    expect([redis === undefined, roles.toSorted()]).toEqual([false, ['web', 'web', 'worker']]);
  });

  test('its settings are settings of the line, and the line takes them', () => {
    const known = new Set([...settingsTable().matchAll(/^\| `([A-Z_]+)`/gm)].map((match) => match[1]));
    for (const [name, { environment }] of line) {
      for (const setting of Object.keys(environment)) expect(known, `${name}: ${setting}`).toContain(setting);
      const env = Object.fromEntries(Object.entries(environment).map(([k, v]) => [k, filled(v)]));
      const config = readConfig({ ...carrier, ...env });
      expect(config.role).toBe(environment['ROLE']);
      expect(config.redis).toMatchObject({ url: 'redis://:letters0and1digits@redis:6379' });
      expect(config.host).toBe('0.0.0.0');
      expect(config.metrics).toMatchObject({ port: 9464, token: 'a-token-of-some-length' });
    }
  });

  test('has no secret in it: each comes from the environment, and is missed at once when it is not there', () => {
    for (const [name, { environment, command = [] }] of Object.entries(services))
      for (const [key, value] of [...Object.entries(environment), ...command.map((c) => ['', c] as const)])
        if (/KEYS|PEPPER|TOKEN|PASSWORD|AUTH|REDIS_URL/.test(key))
          expect(value, `${name} ${key}`).toMatch(/\$\{\w+:\?/);
    expect(source).not.toMatch(/[A-Za-z0-9+/]{40,}/);
  });

  test('nothing runs as root, nothing is open to the world, and no version is left to chance', () => {
    for (const [name, each] of Object.entries(services)) {
      expect(each.user, name).not.toMatch(/^(root|0)(:|$)/);
      for (const port of each.ports) expect(port, name).toMatch(/^127\.0\.0\.1:\d+:8080$/);
      expect(each.image, name).toMatch(/:[\w.-]+$/);
      expect(each.image, name).not.toMatch(/:latest$/);
      if (each.build === undefined) expect(each.image, name).toMatch(/:\d+\.\d+/);
    }
    expect(redis?.ports).toEqual([]);
    const ports = line.flatMap(([, each]) => each.ports);
    expect(new Set(ports).size).toBe(ports.length);
  });

  test('each part says when it is well, and the line waits for Redis', () => {
    for (const [name, each] of line) {
      expect(each.healthcheck.test.join(' '), name).toContain('/readyz');
      expect(each.depends_on, name).toEqual({ redis: { condition: 'service_healthy' } });
      // Longer than the 25 s after which the process ends by itself.
      expect(Number.parseInt(each.stop_grace_period, 10), name).toBeGreaterThan(25);
    }
    expect(redis?.healthcheck.test).toEqual(['CMD', 'redis-cli', 'ping']);
  });

  test('what Redis keeps is on a volume that has a name', () => {
    const [name, path] = (redis?.volumes[0] ?? '').split(':');
    expect(path).toBe('/data');
    expect(Object.keys(volumes)).toContain(name);
  });

  test.skipIf(whyNoRedis() !== undefined)(
    'a real redis-server takes its command, and keeps every write',
    async () => {
      const [program, ...settings] = (redis?.command ?? []).map(filled);
      expect(program).toBe('redis-server');
      const server = await startRedis('everysec', settings);
      const client = createClient({ url: server.url.replace('//', `//:${given['REDIS_PASSWORD']}@`) });
      client.on('error', () => undefined);
      try {
        await client.connect();
        const read = async (name: string) => (await client.configGet(name))[name];
        expect(await read('appendonly')).toBe('yes');
        expect(await read('appendfsync')).toBe('always');
        expect(await read('maxmemory-policy')).toBe('noeviction');
        const stranger = connect(server.port, '127.0.0.1').setEncoding('utf8');
        stranger.write('GET anything\r\n');
        const [answer] = (await once(stranger, 'data')) as [string];
        stranger.destroy();
        expect(answer).toMatch(/^-NOAUTH/);
      } finally {
        client.destroy();
        await server.stop();
      }
    },
  );
});
