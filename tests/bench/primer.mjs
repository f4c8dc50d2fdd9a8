import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { built } from './stores-open.mjs';
import { lived } from './stores-people.mjs';

const { primerOf } = await built('store/redis/rest/shrink.js');
const { packedMessage } = await built('store/redis/kept-message.js');

/** The id in the primer, in the place of which each line's own is put. */
const primerId = 'A-line-of-the-primer';
/** What shows how a month goes on; more of the same teaches nothing. Characters. */
const monthLength = 25_000;
/** The last is remembered best. */
const ways = [
  {
    language: 'मराठी',
    names: ['सविता आरव', 'लता ओम', 'उषा ईशा'],
    own: ['दूध कमी येते', 'बाळाला ताप आहे', 'मदत', 'पपई खाऊ का', 'छाती दुखते', 'ठीक आहे'],
    months: 1,
  },
  {
    language: 'Hindi (ABC)',
    names: ['Sunita Kiran', 'Rekha Mohan', 'Geeta Neha'],
    own: [
      ...['doodh kam aa raha hai', 'chhati mein dard', 'bachche ko bukhar hai', 'MADAD'],
      ...['kya papita kha sakti hoon', 'theek hai', 'nipple mein dard'],
    ],
    months: 1,
  },
  {
    language: 'हिन्दी',
    names: ['सुनीता किरण', 'रेखा मोहन', 'गीता नेहा'],
    own: [
      ...['दूध कम आ रहा है', 'छाती में दर्द है', 'क्या पपीता खा सकती हूं', 'मदद', 'बच्चे को बुखार है', 'ठीक है'],
      ...['निप्पल में दर्द', 'बच्चा रात को रोता है', 'आंखें पीली हैं', 'बहुत खून आ रहा है', 'मन उदास है'],
    ],
    months: 2,
  },
  {
    language: 'English',
    names: ['Meena Ravi', 'Fatima Noor', 'Kavita Anil'],
    own: [
      ...[
        'pain in my breast when feeding',
        'is my milk enough',
        'HELP',
        'baby has fever',
        'thank you',
        'WHY',
      ],
      ...[
        'sore nipples',
        'baby cries at night',
        'can I eat papaya',
        'PAUSE 2',
        'baby is yellow',
        'heavy bleeding',
      ],
    ],
    months: 2,
  },
];

/**
 * Makes a primer for `src/store/redis/rest` from what invented mothers and the line really write to each other; takes some minutes.
 * Never to be put over a primer that is in use: what was shrunk with that opens with no other. A new one stands beside it, under
 * a form of its own in `shrink.ts`.
 * @returns the source of its file
 */
export async function madePrimer() {
  const folder = mkdtempSync(join(tmpdir(), 'eightfeeds-primer-'));
  const books = [];
  const months = [];
  try {
    for (const [i, way] of ways.entries()) {
      const long = await livedBy(folder, way, { mothers: 3, days: 150, seed: 21 + i }, 7);
      books.push({ state: '', journal: bookOf(long, way.names), replies: [], messages: [] });
      const short = await livedBy(folder, way, { mothers: way.months, days: 30, seed: 11 + i }, 5);
      months.push(...short.map(recordOf).reverse());
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  const records = [...books, ...months];
  const rows = primerOf(records)
    .toString('base64')
    .match(/.{1,100}/g)
    .map((row) => `    '${row}',`);
  return `/**
 * What the line says to invented mothers in four ways of writing, then ${months.length} months of such lines, as a coder that knows
 * nothing shrinks them (\`primerOf\`): reading them teaches it what lines mostly say. Made by \`npm run bench -- --primer=<file>\`. Never
 * to be edited, nor made again: what was shrunk with it opens with no other.
 */
export const primer = {
  records: ${records.length},
  /** Base64. */
  coded: [
${rows.join('\n')}
  ].join(''),
} as const;
`;
}

/** Every few days she writes of her own accord. */
function livedBy(folder, { language, names, own }, how, everyDays) {
  return lived(join(folder, `${how.days}-${language}.db`), {
    ...how,
    languages: [language],
    names: names.map((both) => both.split(' ')),
    words: (mother, day) =>
      day % everyDays === 2 + mother
        ? own[(Math.floor(day / everyDays) + 3 * mother) % own.length]
        : undefined,
  });
}

/** Every sentence that was said at least once, in the texts that were said most often. */
function bookOf(lines, names) {
  const anybody = new RegExp(names.join(' ').replaceAll(' ', '|'), 'g');
  const alike = (text) => text.replace(/\d+/g, '0').replace(anybody, 'N');
  const texts = new Map();
  for (const { lineId, journal } of lines)
    for (const { kind, body } of journal) {
      const { words } = JSON.parse(body);
      if (words === undefined || !['said', 'sending', 'counsellor-told'].includes(kind)) continue;
      const text = texts.get(alike(words)) ?? {
        count: 0,
        words,
        kind,
        body: body.replaceAll(lineId, primerId),
      };
      text.count += 1;
      texts.set(alike(words), text);
    }
  const said = new Set();
  return [...texts.values()]
    .toSorted((a, b) => b.count - a.count)
    .filter(({ words }) => {
      const sentences = words.split(/(?<=[.?!।:])\s+|\n/).map(alike);
      const isNews = !sentences.every((sentence) => said.has(sentence));
      for (const sentence of sentences) said.add(sentence);
      return isNews;
    })
    .map(({ kind, body }) => ({ at: 0, kind, body: body.replace(/\.\d+\.\d+"/, '.7.0"') }));
}

function recordOf({ lineId, state, journal, replies, outbox }) {
  const named = (text) => text.replaceAll(lineId, primerId);
  let length = 0;
  return {
    state: named(state),
    journal: journal
      .map(({ at, kind, body }) => ({ at, kind, body: named(body) }))
      .filter(({ body }) => (length += body.length) < monthLength),
    replies: replies.map((one) => ({ ...one, reply: named(one.reply) })),
    messages: outbox.map((message) => named(packedMessage(message))),
  };
}
