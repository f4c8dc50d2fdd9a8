import { parsePhoneNumberFromString } from 'libphonenumber-js';
import type { Config } from '../../config.ts';
import type { Calendar } from '../../language/calendar.ts';
import { good, type LookedAt, look, mend } from './looked-at.ts';
import { publicAddress } from './public-address.ts';

/** Ofcom's numbers for drama: mobile 07700 900000 to 900999. No such phone rings. */
const fiction = /^\+447700900\d{3}$/;

/**
 * What the settings alone tell, beyond their shape, which is proved when they are read.
 * @param env which settings were made; one left out has its default, and that may not be meant
 */
export function settingsLookedAt(
  config: Config,
  env: Readonly<Record<string, string | undefined>>,
  calendar: Calendar,
  now: number,
): readonly LookedAt[] {
  const { carrier, programme } = config;
  const isSet = (name: string) => (env[name] ?? '') !== '';
  const live =
    carrier.kind === 'practice'
      ? [look('carrier', 'No account is set: the practice phone is served, and no text leaves this machine.')]
      : [
          ...credentials(carrier, env),
          ...(config.publicUrl === undefined ? [] : [publicAddress(config.publicUrl)]),
          sender(carrier.number, programme.counsellors),
        ];
  return [
    ...live,
    timeZone(calendar, now, isSet('TIME_ZONE')),
    isSet('EMERGENCY_NUMBER')
      ? look(
          'emergency number',
          `${programme.emergencyNumber} is told in every safety text: call it from a phone of your area, and hear who answers.`,
        )
      : mend(
          'emergency number',
          `EMERGENCY_NUMBER is not set, so ${programme.emergencyNumber} is told. Set the number that works where your mothers live.`,
        ),
    hours(config),
    ...counsellorNumbers(config),
  ];
}

function credentials(
  { authToken, apiUrl }: Extract<Config['carrier'], { kind: 'twilio' }>,
  env: Readonly<Record<string, string | undefined>>,
): readonly LookedAt[] {
  const regional = ['TWILIO_EDGE', 'TWILIO_REGION'].filter((name) => (env[name] ?? '') !== '');
  return [
    /^[0-9a-f]{32}$/.test(authToken)
      ? good('credentials', 'The account and its secret have the right shape.')
      : look(
          'credentials',
          'TWILIO_AUTH_TOKEN is not 32 hex digits, as such secrets mostly are. Copy it again; `doctor --ask` tells whether it opens the account.',
        ),
    ...(apiUrl === undefined
      ? []
      : [mend('credentials', 'TWILIO_API_URL is set: a stand-in is asked, and no phone ever rings.')]),
    ...regional.map((name) =>
      mend(
        'credentials',
        `${name} is set and would send requests elsewhere. Take it out of the environment.`,
      ),
    ),
  ];
}

function sender(number: string, counsellors: Config['programme']['counsellors']): LookedAt {
  const parsed = parsePhoneNumberFromString(number);
  if (counsellors.some((c) => c.phone === number))
    return mend(
      'sender',
      `TWILIO_NUMBER ${number} is also a counsellor's. The line needs a number of its own.`,
    );
  if (fiction.test(number))
    return mend('sender', `TWILIO_NUMBER ${number} is a number for fiction. Set the one the account owns.`);
  if (parsed === undefined || !parsed.isValid())
    return mend('sender', `TWILIO_NUMBER ${number} is no number that any country gives out. Copy it again.`);
  // Texts to Indian phones need a registered sender and registered templates: carrier errors 21900 and 21901.
  if (parsed.country === 'IN')
    return look(
      'sender',
      `${number} is Indian: register the sender and its texts (DLT), or they are refused.`,
    );
  return good('sender', `${number} is a number of ${parsed.country ?? 'no single country'}.`);
}

function timeZone(calendar: Calendar, now: number, isSet: boolean): LookedAt {
  const minute = calendar.minuteOfDay(now);
  const clock = `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
  const words = `${calendar.timeZone}: it is ${clock} there on ${calendar.day(now)}`;
  return isSet
    ? good('time zone', `${words}.`)
    : look('time zone', `${words}. TIME_ZONE is not set; say so if your mothers live elsewhere.`);
}

function hours({ programme }: Config): LookedAt {
  const { quietUntilMinuteOfDay: from, quietFromMinuteOfDay: until } = programme;
  const early = from < 7 * 60;
  const late = until > 21 * 60;
  return early || late
    ? look(
        'writing hours',
        `Routine messages go out ${early ? 'before 07:00' : ''}${early && late ? ' and ' : ''}${late ? 'after 21:00' : ''}: a mother may be asleep, and some networks forbid it. See WRITE_FROM and WRITE_UNTIL.`,
      )
    : good('writing hours', 'Routine messages go out by day only.');
}

function counsellorNumbers({ carrier, programme }: Config): readonly LookedAt[] {
  const what = 'counsellors';
  const { counsellors } = programme;
  const unreal = counsellors.filter((c) => !parsePhoneNumberFromString(c.phone)?.isValid());
  const invented = carrier.kind === 'practice' ? [] : counsellors.filter((c) => fiction.test(c.phone));
  const found = [
    ...(counsellors.some((c) => c.lead)
      ? []
      : [mend(what, 'Nobody is the lead. Alerts that nobody takes must end with somebody: add `:lead`.')]),
    ...(counsellors.length > 1
      ? []
      : [look(what, 'There is one counsellor only. When her phone is off, no other hears of an alert.')]),
    ...(carrier.kind === 'practice'
      ? []
      : unreal
          .filter((c) => !invented.includes(c))
          .map((c) => mend(what, `${c.id}: ${c.phone} is no number that any country gives out.`))),
    ...invented.map((c) => mend(what, `${c.id}: ${c.phone} is a number for fiction, and would never ring.`)),
  ];
  return found.length > 0 ? found : [good(what, `${counsellors.length}, with a lead.`)];
}
