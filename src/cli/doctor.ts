import { accountFacts } from '../channels/twilio/account.ts';
import { type Config, readConfig } from '../config.ts';
import { CarrierRefused, CarrierUnreachable, ConfigError } from '../errors.ts';
import { openCalendar } from '../language/calendar.ts';
import { accountLookedAt } from '../programme/doctor/account.ts';
import { good, type LookedAt, look, mend } from '../programme/doctor/looked-at.ts';
import { settingsLookedAt } from '../programme/doctor/settings.ts';
import { checkRota } from '../programme/check/rota-cover.ts';
import { loadLanguages } from '../programme/load-content.ts';
import { loadRota, withRota } from '../programme/load-rota.ts';
import { readSealingKeys } from '../store/sealing.ts';
import type { Command, CommandIo } from './command.ts';

const waitMs = 10_000;

/** `eightfeeds doctor`: what stands between these settings and a live line, and how to mend it. */
export const command: Command = {
  summary: 'say what the settings still lack for a live line; --ask also asks the carrier',
  usage: '[--ask]',
  async run(args, { env, output, errors }: CommandIo) {
    if (args.some((arg) => arg !== '--ask')) {
      errors.write('eightfeeds doctor [--ask]\n');
      return 2;
    }
    const found = await lookOver(env, args.includes('--ask'));
    const width = Math.max(...found.map(({ what }) => what.length));
    for (const { what, state, words } of found)
      output.write(`${state.padEnd(4)}  ${what.padEnd(width)}  ${words}\n`);
    const toMend = found.filter(({ state }) => state === 'mend').length;
    errors.write(
      toMend === 0 ? 'Nothing stands in the way.\n' : `${toMend} to mend before the line can be live.\n`,
    );
    return toMend === 0 ? 0 : 1;
  },
};

async function lookOver(env: CommandIo['env'], ask: boolean): Promise<readonly LookedAt[]> {
  let config: Config;
  const languages = loadLanguages().map((l) => l.code);
  try {
    config = readConfig(env);
  } catch (error) {
    if (!(error instanceof ConfigError)) throw error;
    return [
      ...error.problems.map((problem) => mend('settings', problem)),
      look('settings', 'The rest is looked at when these are mended.'),
    ];
  }
  const calendar = openCalendar(config.programme.timeZone);
  const now = Date.now();
  const rota = rotaLookedAt(config, languages, now);
  const programme = rota.some((r) => r.state === 'mend' && r.what === 'rota file')
    ? config.programme
    : withRota(config.programme, config.rotaFile, languages);
  return [
    ...settingsLookedAt({ ...config, programme }, env, calendar, now),
    ...(languages.includes(programme.language)
      ? []
      : [mend('language', `LANGUAGE "${programme.language}" is not one of ${languages.join(', ')}.`)]),
    ...rota,
    ...keys(config),
    ...(ask ? await asked(config) : []),
  ];
}

function rotaLookedAt(config: Config, languages: readonly string[], now: number): readonly LookedAt[] {
  const { rotaFile, programme } = config;
  if (rotaFile === undefined)
    return [look('rota', 'ROTA_FILE is not set: every counsellor counts as on duty day and night.')];
  try {
    const calendar = openCalendar(programme.timeZone);
    const found = checkRota(rotaFile, loadRota(rotaFile, languages), calendar, now, languages);
    return found.length === 0
      ? [good('rota', 'Somebody is on duty in every hour of the coming month.')]
      : found.map(({ weight, text }) => (weight === 'problem' ? mend('rota', text) : look('rota', text)));
  } catch (error) {
    if (!(error instanceof ConfigError)) throw error;
    return error.problems.map((problem) => mend('rota file', problem));
  }
}

function keys({ sealingKeys, carrier }: Config): readonly LookedAt[] {
  if (sealingKeys === undefined)
    return carrier.kind === 'practice' ? [good('keys', 'Practice keys are made beside the store.')] : [];
  try {
    const count = readSealingKeys(sealingKeys).length;
    return [good('keys', `${count === 1 ? 'One key' : `${count} keys`}; keep a copy apart from the store.`)];
  } catch (error) {
    if (!(error instanceof ConfigError)) throw error;
    return error.problems.map((problem) => mend('keys', problem));
  }
}

/** What only the carrier and the way from outside can tell. */
async function asked({ carrier, publicUrl }: Config): Promise<readonly LookedAt[]> {
  if (carrier.kind === 'practice' || publicUrl === undefined)
    return [look('account', 'There is no account to ask about.')];
  const address = await reached(publicUrl);
  try {
    return [address, ...accountLookedAt(await accountFacts(carrier), publicUrl, carrier.number)];
  } catch (error) {
    if (error instanceof CarrierRefused)
      return [address, mend('account', `${error.message} Copy the account and its secret again.`)];
    if (error instanceof CarrierUnreachable)
      return [address, mend('account', `${error.message} Is there a way to the internet from here?`)];
    throw error;
  }
}

async function reached(publicUrl: string): Promise<LookedAt> {
  const what = 'reached';
  const url = `${publicUrl}/healthz`;
  try {
    const { status } = await fetch(url, { signal: AbortSignal.timeout(waitMs) });
    return status === 200
      ? good(what, `${url} answers, asked from this machine.`)
      : mend(what, `${url} answers with ${status}: is the line started, and does the way there end at it?`);
  } catch {
    return mend(what, `${url} does not answer: start the line, and see that the name leads to it.`);
  }
}
