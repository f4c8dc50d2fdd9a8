/** Invented mothers that live on a real line for some days, each text and due time through the real turn. */
import { lineNumber, motherNumber, pepper } from './turns-account.mjs';
import { lineIdOf, lineOn, moveForward, openAt } from './stores-open.mjs';

const dayMs = 86_400_000;
/** The first of the practice line's counsellors. */
const counsellor = '+447700900011';

/**
 * @param {string} file where the embedded store is made
 * @param {object} how
 * @param {number} how.mothers
 * @param {number} how.days
 * @param {boolean} [how.daily] they write each day, asked or not
 * @param {readonly string[]} [how.languages] as the menu has them, turn about
 * @param {readonly (readonly [string, string])[]} [how.names] mother and baby, turn about
 * @param {number} [how.seed] of all that differs from mother to mother and from day to day
 * @param {(mother: number, day: number) => string | undefined} [how.words] what she writes of her own accord
 * @returns what is kept of each, as the store gives it; all lived through at once and brought to the present
 */
export async function lived(
  file,
  {
    mothers,
    days,
    daily = false,
    languages = ['English', 'हिन्दी'],
    names = [['Asha', 'Tara']],
    seed = 7,
    words = () => undefined,
  },
) {
  const store = await openAt({ file });
  const people = Array.from({ length: mothers }, (_, i) => ({
    phone: motherNumber(i),
    language: languages[i % languages.length],
    name: names[i % names.length][0],
    baby: names[i % names.length][1],
  }));
  const lineOf = (phone) => lineIdOf(phone, pepper);
  const random = dice(seed);
  let now = Date.now() - days * dayMs;
  const clock = {
    now: () => now,
    moveTo: (at) => {
      now = at;
    },
  };
  const fail = (error) => {
    throw error;
  };
  const line = lineOn(store, clock, lineOf, { onTrouble: fail });
  const state = async ({ phone }) => JSON.parse((await store.load(lineOf(phone))).state);
  let events = 0;
  const receive = async (event) => {
    events += 1;
    now += 400 + random(90_000);
    const id = `SM${(events * 7_919).toString(16).padStart(32, 'b')}`;
    return line.service.receive({ id, ...event });
  };
  const text = async ({ phone }, body) => {
    const reply = await receive({ kind: 'text', from: phone, to: lineNumber, body });
    return reply.body ?? '';
  };
  for (const person of people) {
    const menu = await text(person, 'JOIN');
    const choice = menu
      .split('\n')
      .find((row) => row.includes(` ${person.language}`))
      ?.split(' ')[0];
    if (choice !== undefined) await text(person, choice);
    const born = new Date(now - (3 + random(10)) * dayMs);
    await text(
      person,
      `${born.getUTCDate()}-${born.getUTCMonth() + 1}-${born.getUTCFullYear()} ${person.name}`,
    );
    await text(person, `1 1 ${8 + random(4)}`);
    await text(person, `${1 + random(2)} 2.${6 + random(4)} ${person.baby}`);
  }
  const told = new Set();
  for (let day = 0; day < days; day += 1) {
    await moveForward(line, store, clock, dayMs);
    for (const [i, person] of people.entries()) {
      await receipts(person);
      const own = words(i, day);
      if (own !== undefined) await text(person, own);
      if (daily || (await state(person)).dialog !== null) await checkIn(person, day);
      await seen();
    }
  }
  const whole = [];
  for (const person of people)
    whole.push(atPresent(await store.readLine(lineOf(person.phone)), person.phone, now));
  await line.stop();
  await store.close();
  return whole;

  /** The counsellor takes what is on her list and closes it: else it would climb, day and night. */
  async function seen() {
    for (const { code } of await store.openAlerts(100))
      for (const words of [code, `${code} 1 visited`]) await text({ phone: counsellor }, words);
  }

  /** What became of each text: the carrier tells twice. */
  async function receipts({ phone }) {
    const { outbox } = await store.readLine(lineOf(phone));
    for (const { id, state: became } of outbox) {
      if (became !== 'sent' || told.has(id)) continue;
      told.add(id);
      for (const status of ['sent', 'delivered']) await receive({ kind: 'receipt', outboxId: id, status });
    }
  }

  /** A healthy day: what is asked for is seen from the example that each question ends with. */
  async function checkIn(person, day) {
    let asked = await text(person, `${9 + random(3)} ${2 + random(2)} ${6 + random(2)} ${4 + random(2)}`);
    for (let n = 0; n < 4 && (await state(person)).dialog !== null; n += 1) {
      if (asked.includes('3.4 1')) {
        const grams = 3_000 + 30 * day;
        asked = await text(person, random(2) === 0 ? '0' : `${(grams / 1_000).toFixed(1)} ${1 + random(2)}`);
      } else asked = await text(person, asked.includes('1 1 0') ? '1 1 0' : '0');
    }
  }
}

/** All was kept within seconds of the machine's clock: only what is of the last days by the line's own clock counts as recent. */
function atPresent(whole, phone, now) {
  const late = (days) =>
    whole.journal.filter(({ at, kind }) => at > now - days * dayMs && /^(text-in|receipt)$/.test(kind));
  return {
    ...whole,
    phone,
    replies: whole.replies.slice(whole.replies.length - late(2).length),
    outbox: whole.outbox.filter(({ notBefore }) => notBefore > now - 3 * dayMs),
  };
}

/** The same line as another mother's. */
export function asMother(whole, phone) {
  const { phone: own, ...line } = whole;
  const lineId = lineIdOf(phone, pepper);
  const named = (text) => text.replaceAll(own, phone).replaceAll(line.lineId, lineId);
  return {
    ...line,
    lineId,
    state: named(line.state),
    journal: line.journal.map((entry) => ({ ...entry, body: named(entry.body) })),
    outbox: line.outbox.map((m) => ({ ...m, lineId, id: named(m.id), to: phone })),
    alerts: line.alerts.map((a) => ({ ...a, lineId, alertId: named(a.alertId) })),
  };
}

/** Numbers below `limit` that are the same in every run. */
function dice(seed) {
  let thrown = seed;
  return (limit) => {
    thrown = (thrown * 1_103_515_245 + 12_345) % 2_147_483_648;
    return Math.floor((thrown / 2_147_483_648) * limit);
  };
}
