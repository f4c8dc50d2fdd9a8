import { z } from 'zod';
import type { Counsellor, Programme } from './dialog/world.ts';
import { ConfigError } from './errors.ts';
import { isTimeZone } from './language/calendar.ts';
import { readFestivalDays, readZones } from './writing-settings.ts';

/** One setting: what it holds, for the README's table and for the operator's message when it is wrong. */
const phone = z.string().regex(/^\+[1-9]\d{6,14}$/, 'is a number as +country and digits');
const minuteOfDay = z
  .string()
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'is a time of day as HH:MM')
  .transform((t) => Number(t.slice(0, 2)) * 60 + Number(t.slice(3)));
const whole = (min: number, max: number) =>
  z
    .string()
    .regex(/^\d+$/, 'is a whole number')
    .transform(Number)
    .refine((n) => n >= min && n <= max, `lies between ${min} and ${max}`);

const settings = z.object({
  PORT: whole(0, 65_535).default(8080).describe('TCP port to listen on'),
  HOST: z.string().min(1).default('127.0.0.1').describe('address to listen on'),
  DATA_DIR: z.string().min(1).default('data').describe('folder of the embedded store'),
  STORE: z
    .enum(['sqlite', 'redis'])
    .default('sqlite')
    .describe('`sqlite`, embedded; or `redis`, when one machine is not enough'),
  REDIS_URL: z
    .string()
    .refine(
      (text) => text.split(',').every(isRedisUrl),
      'is redis://... or rediss://..., or several with commas',
    )
    .transform((text) => text.split(',').map((url) => url.trim()))
    .optional()
    .describe(
      'the Redis server, `redis://...`; for a cluster some of its addresses, separated by commas; required when `STORE` is `redis`',
    ),
  REDIS_REPLICAS_WAITED: whole(0, 5)
    .default(0)
    .describe(
      'how many replicas of a Redis server must have a change before anybody is told that it is kept; 1 for a cluster with one replica a master',
    ),
  ROLE: z
    .enum(['all', 'web', 'worker'])
    .default('all')
    .describe('`web` answers, `worker` sends and reminds; any number of each on Redis'),
  PUBLIC_URL: z
    .url({ protocol: /^https?$/ })
    .optional()
    .describe('address at which the carrier reaches this server; required with a carrier account'),
  TWILIO_ACCOUNT_SID: z
    .string()
    .regex(/^AC[0-9a-f]{32}$/, 'is AC and 32 hex digits')
    .optional()
    .describe('carrier account; without it the practice phone is served'),
  TWILIO_AUTH_TOKEN: z
    .string()
    .min(16, 'has 16 characters or more')
    .optional()
    .describe('secret of the carrier account'),
  TWILIO_NUMBER: phone.optional().describe("the line's own number"),
  TWILIO_MESSAGING_SERVICE_SID: z
    .string()
    .regex(/^MG[0-9a-f]{32}$/, 'is MG and 32 hex digits')
    .optional()
    .describe('send texts through this messaging service'),
  TWILIO_API_URL: z
    .url({ protocol: /^http$/ })
    .optional()
    .describe(
      "address of a stand-in for the carrier's API (`npm run stand-in`), on this machine; empty for the carrier itself",
    ),
  DETECT_MACHINES: z
    .enum(['on', 'off'])
    .default('off')
    .describe(
      'the carrier finds out whether a machine answers a call: costs a fee and some silence; a machine hears nothing private either way',
    ),
  SENDS_PER_SECOND: z
    .string()
    .regex(/^\d+(\.\d+)?$/, 'is a number')
    .transform(Number)
    .refine((n) => n >= 0.1 && n <= 1000, 'lies between 0.1 and 1000')
    .default(1)
    .describe(
      'texts and calls a second that one worker hands to the carrier; one long number takes 1, the practice phone has no limit',
    ),
  SEALING_KEYS: z
    .string()
    .min(1)
    .optional()
    .describe(
      'keys that seal numbers and words at rest, `id:base64` of 32 bytes, newest first, separated by commas',
    ),
  LINE_PEPPER: z
    .string()
    .min(16, 'has 16 characters or more')
    .optional()
    .describe('secret of the keyed hash that names a line; never change it'),
  PROGRAMME_NAME: z.string().min(1).max(30).default('Eightfeeds').describe('what the line calls itself'),
  TIME_ZONE: z.string().default('Asia/Kolkata').describe("the programme's IANA time zone"),
  EMERGENCY_NUMBER: z
    .string()
    .regex(/^\+?\d{2,15}$/, 'is the number to call, digits only')
    .default('112')
    .describe('told in every safety text'),
  LANGUAGE: z
    .string()
    .default('en')
    .describe('language for numbers that are not enrolled: a folder of `locales/`'),
  COUNSELLORS: z
    .string()
    .min(1)
    .optional()
    .describe(
      'who answers alerts, the first on duty: `id:Name:+number:language`, `:lead` for the lead, separated by commas',
    ),
  AREA: z
    .string()
    .trim()
    .max(40)
    .optional()
    .describe(
      'area of mothers whom nobody has placed in one; without it they are seen by counsellors of every area',
    ),
  ALERT_TEXT_DETAIL: z
    .enum(['full', 'code'])
    .default('full')
    .describe(
      "what an alert's text to a counsellor tells: `full` with the mother's name, words and number; `code` only how urgent, the baby's age and the code to answer with",
    ),
  ROTA_FILE: z
    .string()
    .min(1)
    .optional()
    .describe(
      'file of counsellors, weekly shifts, swaps and holidays (YAML); takes the place of `COUNSELLORS`',
    ),
  WRITE_FROM: minuteOfDay.default(480).describe('routine messages not before this time of day, HH:MM'),
  WRITE_UNTIL: minuteOfDay.default(1200).describe('routine messages not after this time of day, HH:MM'),
  TEXTS_A_DAY: whole(1, 24)
    .default(3)
    .describe('routine texts a day to one phone, at most; safety and follow-ups are not counted'),
  FESTIVAL_DAYS: z
    .string()
    .min(1)
    .optional()
    .describe(
      'days on which nothing routine goes out, `2026-11-08` or `2026-11-07..2026-11-11`, separated by commas',
    ),
  TIME_ZONES: z
    .string()
    .min(1)
    .optional()
    .describe(
      'time zones of numbers that begin so, `+44:Europe/London`, separated by commas; all others are in `TIME_ZONE`',
    ),
  LOG_LEVEL: z
    .enum(['fatal', 'error', 'warn', 'info', 'debug', 'silent'])
    .default('info')
    .describe(
      'how much is logged; `debug` has a line for every webhook, turn and message, for `eightfeeds trace`',
    ),
  METRICS_PORT: whole(0, 65_535)
    .optional()
    .describe('TCP port of its own for `/metrics`, for Prometheus; without it there are no metrics'),
  METRICS_HOST: z
    .string()
    .min(1)
    .default('127.0.0.1')
    .describe('address on which the metrics are served; any but loopback needs `METRICS_TOKEN`'),
  METRICS_TOKEN: z
    .string()
    .regex(/^[\w.~+/=-]{16,}$/, 'has 16 or more letters, digits or any of . ~ + / = _ -')
    .optional()
    .describe('bearer token without which the metrics are not told'),
});

export type Carrier =
  | { readonly kind: 'practice' }
  | {
      readonly kind: 'twilio';
      readonly accountSid: string;
      readonly authToken: string;
      readonly number: string;
      readonly messagingServiceSid: string | undefined;
      readonly detectMachines: boolean;
      /** Undefined: the carrier itself. */
      readonly apiUrl: string | undefined;
    };

export interface Config {
  readonly port: number;
  readonly host: string;
  readonly dataDir: string;
  /** Undefined: the embedded store. One server, or some addresses of a cluster. */
  readonly redis:
    | (({ readonly url: string } | { readonly cluster: readonly string[] }) & {
        /** How many must have a change before it counts as kept. */
        readonly replicas: number;
      })
    | undefined;
  readonly role: 'all' | 'web' | 'worker';
  readonly publicUrl: string | undefined;
  readonly carrier: Carrier;
  /** Undefined: no limit. */
  readonly sendsPerSecond: number | undefined;
  readonly sealingKeys: string | undefined;
  readonly linePepper: string | undefined;
  /** Without the rota file, which is read where the parts are put together. */
  readonly programme: Programme;
  readonly rotaFile: string | undefined;
  readonly logLevel: string;
  /** Undefined: none are counted. */
  readonly metrics: MetricsPlace | undefined;
}

export interface MetricsPlace {
  readonly host: string;
  readonly port: number;
  readonly token: string | undefined;
}

/** Numbers from Ofcom's range for fiction: a practice that is set up wrongly can reach nobody. */
const practiceCounsellors = 'anita:Anita:+447700900011:en,mary:Mary:+447700900012:en:lead';

/**
 * Reads every setting once. An empty value counts as not set.
 * @throws ConfigError with every problem, a sentence each
 */
export function readConfig(env: Readonly<Record<string, string | undefined>>): Config {
  const given = Object.fromEntries(
    Object.entries(env).filter(([k, v]) => k in settings.shape && v !== undefined && v !== ''),
  );
  const read = settings.safeParse(given);
  if (!read.success) {
    throw new ConfigError(
      read.error.issues.map((i) => `${String(i.path[0])} ${i.message}, but what is set is not.`),
    );
  }
  const s = read.data;
  const problems: string[] = [];
  const isLive =
    s.TWILIO_ACCOUNT_SID !== undefined || s.TWILIO_AUTH_TOKEN !== undefined || s.TWILIO_NUMBER !== undefined;
  if (isLive) {
    for (const name of [
      'TWILIO_ACCOUNT_SID',
      'TWILIO_AUTH_TOKEN',
      'TWILIO_NUMBER',
      'PUBLIC_URL',
      'SEALING_KEYS',
      'LINE_PEPPER',
      'COUNSELLORS',
    ] as const) {
      if (name === 'COUNSELLORS' && s.ROTA_FILE !== undefined) continue;
      if (s[name] === undefined) problems.push(`${name} is required with a carrier account.`);
    }
  }
  if (s.STORE === 'redis' && s.REDIS_URL === undefined)
    problems.push('REDIS_URL is required when STORE is "redis".');
  if (s.STORE === 'sqlite' && s.ROLE !== 'all')
    problems.push('ROLE must be "all" when STORE is "sqlite": one process holds its file.');
  if (s.METRICS_PORT !== undefined && !isLoopback(s.METRICS_HOST) && s.METRICS_TOKEN === undefined)
    problems.push(
      'METRICS_TOKEN is required when METRICS_HOST is not loopback: metrics are not for everybody.',
    );
  // Anywhere else it would be handed the account's secret, and mothers' numbers and words.
  if (
    s.TWILIO_API_URL !== undefined &&
    !isLoopback(new URL(s.TWILIO_API_URL).hostname.replace(/^\[|\]$/g, ''))
  )
    problems.push('TWILIO_API_URL is for a stand-in on this machine: it must be a loopback address.');
  if (!isTimeZone(s.TIME_ZONE))
    problems.push(`TIME_ZONE "${s.TIME_ZONE}" is not an IANA time zone, such as Asia/Kolkata.`);
  if (s.WRITE_FROM + 60 > s.WRITE_UNTIL)
    problems.push('WRITE_UNTIL must be at least an hour after WRITE_FROM.');
  const counsellors = readCounsellors(s.COUNSELLORS ?? practiceCounsellors, problems);
  const festivalDays = readFestivalDays(s.FESTIVAL_DAYS ?? '', problems);
  const zones = readZones(s.TIME_ZONES ?? '', problems);
  if (problems.length > 0) throw new ConfigError(problems);
  const config: Config = {
    port: s.PORT,
    host: s.HOST,
    dataDir: s.DATA_DIR,
    redis:
      s.STORE === 'redis'
        ? { ...redisAddress(s.REDIS_URL ?? []), replicas: s.REDIS_REPLICAS_WAITED }
        : undefined,
    role: s.ROLE,
    publicUrl: s.PUBLIC_URL?.replace(/\/+$/, ''),
    carrier: isLive
      ? {
          kind: 'twilio',
          accountSid: s.TWILIO_ACCOUNT_SID ?? '',
          authToken: s.TWILIO_AUTH_TOKEN ?? '',
          number: s.TWILIO_NUMBER ?? '',
          messagingServiceSid: s.TWILIO_MESSAGING_SERVICE_SID,
          detectMachines: s.DETECT_MACHINES === 'on',
          apiUrl: s.TWILIO_API_URL?.replace(/\/+$/, ''),
        }
      : { kind: 'practice' },
    sendsPerSecond: isLive ? s.SENDS_PER_SECOND : undefined,
    sealingKeys: s.SEALING_KEYS,
    linePepper: s.LINE_PEPPER,
    programme: {
      name: s.PROGRAMME_NAME,
      timeZone: s.TIME_ZONE,
      emergencyNumber: s.EMERGENCY_NUMBER,
      language: s.LANGUAGE,
      counsellors,
      quietUntilMinuteOfDay: s.WRITE_FROM,
      quietFromMinuteOfDay: s.WRITE_UNTIL,
      textsADay: s.TEXTS_A_DAY,
      festivalDays,
      zones,
      carrierAnswersStop: isLive,
      ...(s.AREA === undefined ? {} : { area: s.AREA }),
      alertTextDetail: s.ALERT_TEXT_DETAIL,
    },
    rotaFile: s.ROTA_FILE,
    logLevel: s.LOG_LEVEL,
    metrics:
      s.METRICS_PORT === undefined
        ? undefined
        : { host: s.METRICS_HOST, port: s.METRICS_PORT, token: s.METRICS_TOKEN },
  };
  return Object.freeze(config);
}

/** The README's table of settings, from the schema itself: a test fails when the README's is another. */
export function settingsTable(): string {
  const rows = Object.entries(settings.shape).map(([name, schema]) => {
    const fallback = schema instanceof z.ZodDefault ? String(schema.def.defaultValue) : '';
    const shown = name.startsWith('WRITE_')
      ? `${String(Math.floor(Number(fallback) / 60)).padStart(2, '0')}:00`
      : fallback;
    return `| \`${name}\` | ${schema.description ?? ''} | ${shown} |`;
  });
  return ['| setting | what it is | default |', '| --- | --- | --- |', ...rows].join('\n');
}

function readCounsellors(text: string, problems: string[]): readonly Counsellor[] {
  const seen = new Set<string>();
  return text.split(',').flatMap((entry) => {
    const [id = '', name = '', number = '', language = '', role] = entry.trim().split(':');
    const isGood =
      /^[a-z][a-z0-9-]*$/.test(id) &&
      name !== '' &&
      phone.safeParse(number).success &&
      language !== '' &&
      (role === undefined || role === 'lead');
    if (!isGood) {
      problems.push(
        'COUNSELLORS has an entry that is not `id:Name:+number:language`, with `:lead` for the lead.',
      );
      return [];
    }
    if (seen.has(id) || seen.has(number)) problems.push(`COUNSELLORS has "${id}" or her number twice.`);
    seen.add(id).add(number);
    return [{ id, name, phone: number, language, lead: role === 'lead' }];
  });
}

function isRedisUrl(text: string): boolean {
  return z.url({ protocol: /^rediss?$/ }).safeParse(text.trim()).success;
}

function redisAddress(
  urls: readonly string[],
): { readonly url: string } | { readonly cluster: readonly string[] } {
  const [url] = urls;
  return url !== undefined && urls.length === 1 ? { url } : { cluster: urls };
}

function isLoopback(host: string): boolean {
  return host === 'localhost' || host === '::1' || /^127(\.\d{1,3}){3}$/.test(host);
}
