import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { parse } from 'yaml';
import { contentRoot, loadContent } from '../../src/programme/load-content.ts';

const { readDanger, wording, languages } = loadContent();
const found = (text: string) => readDanger(text).signs.map((s) => `${s.who}.${s.code}`);

/** Answers that mothers give every day, names among them. None may ask her whether it is a danger. */
it.each([
  '23 Nov Lata',
  'Lata 23 Nov',
  'लता 23 नवंबर',
  '1 लडकी 2.9 आशा',
  'लड़की 2.9',
  'लडका 3.1 किलो',
  'larka 3 kilo',
  'ladki 2.9',
  'haan',
  'Haan ji',
  'ha ji',
  'हाँ जी',
  'kai din',
  'kuch din',
  'Kay karu',
  'he kay aahe',
  'taai',
  'Tai',
  'didi',
  'ulti dast kuch nahi hai',
  'no vomiting, urine seven times',
  'my elder son has cold, baby is ok',
  '1 1 0',
  '9 3 6 4',
  '0',
  'JOIN',
  'thank you',
  'ok ji',
  'dhanyavad',
  'Kamla',
  'Bela',
  'Jaya',
  'Sheetal',
  'Pooja 2-11',
  'Asha 1 2.9',
  'Noor',
  'Zainab',
  'Rukmini',
  'Tara',
  'Joy 2.1 kg',
  'Mina girl 2.7',
])('finds no danger in %j', (text) => {
  expect(found(text)).toEqual([]);
});

/** What the line itself calls a sign must be read as that sign when she writes it back. */
it.each(languages)('reads its own words for the signs in %s', (language) => {
  const missed = [
    'fever',
    'convulsion',
    'lethargy',
    'fast-breathing',
    'jaundice',
    'cord-skin-infection',
    'eye-infection',
    'rash-with-fever',
    'no-urine',
    'persistent-vomiting',
  ].filter((code) => !found(wording.say(`sign.baby.${code}`, {}, language, 'text')).includes(`baby.${code}`));
  const missedOfHers = [
    'bleeding',
    'maternal-fever',
    'breathless',
    'chest-pain',
    'self-harm',
    'harm-baby',
    'headache-vision',
  ].filter(
    (code) => !found(wording.say(`sign.mother.${code}`, {}, language, 'text')).includes(`mother.${code}`),
  );
  expect([...missed, ...missedOfHers]).toEqual([]);
});

/** None of the answers that the line itself offers as options or labels may sound like danger. */
it.each(languages)('finds no danger in the words for options in %s', (language) => {
  const fields = ['pain', 'eats', 'babies', 'sex', 'where', 'interest', 'low', 'reached'];
  const options = fields.flatMap((field) =>
    [1, 2, 3, 4].flatMap((n) => {
      const key = `option.${field}.${n}`;
      return wording.has(key, language) ? wording.say(key, {}, language, 'text').split(/\s*,\s*/u) : [];
    }),
  );
  expect(options.length).toBeGreaterThan(20);
  expect(options.filter((word) => found(word).length > 0)).toEqual([]);
});

/** Names that mothers give their babies and themselves. A name alone, or beside figures, is never a danger. */
const names =
  'Aarav Aditi Aisha Akash Alia Amar Amina Amit Ananya Anil Anita Anjali Arjun Arun Asha Bela Bhavna Chanda Deepak Devi Dinesh Diya Durga Fatima Ganga Gauri Geeta Grace Hari Heena Imran Indu Isha Jaya Jyoti Kailash Kajal Kamal Kamla Kavita Kiran Komal Krishna Lakshmi Lalita Lata Leela Madhu Mahesh Mala Manju Maya Meena Meera Mina Mohan Mohini Mukesh Munni Nanda Neha Nikhil Nisha Noel Noor Omar Om Padma Parvati Pooja Prakash Priya Rahul Raj Rajesh Rakesh Rama Ramesh Rani Ravi Rekha Reshma Rita Rohan Roshni Rukmini Sakshi Salma Samir Sangita Sanjay Sarita Savita Seema Shanti Sheetal Shobha Shyam Sima Sita Sneha Sona Sonu Sudha Suman Sunil Sunita Suresh Sushma Swati Tara Uma Usha Vandana Varsha Vijay Vimala Yash Zainab Zoya'.split(
    ' ',
  );

it('finds no danger in names, alone or in an answer of the enrolment', () => {
  const wrong = names.flatMap((name) =>
    [name, `23 Nov ${name}`, `1 2.9 ${name}`].filter((text) => found(text).length > 0),
  );
  expect(wrong).toEqual([]);
});

it('finds no danger in names in Devanagari', () => {
  const inDevanagari =
    'आशा मीरा लता सीता राधा गीता रीता सुनीता अनीता कमला विमला माया छाया जया पूजा रवि राज मोहन सोहन राम श्याम ओमर उमर नूर तारा गंगा यमुना गौरी पार्वती लक्ष्मी दुर्गा शांति ज्योति किरण काजल सोना मोना हिना सना आरव अर्जुन कृष्णा गोपाल विजय अजय संजय'.split(
      ' ',
    );
  expect(
    inDevanagari.flatMap((name) =>
      [name, `23 नवंबर ${name}`, `1 2.9 ${name}`].filter((text) => found(text).length > 0),
    ),
  ).toEqual([]);
});

it('finds no danger in number words, nor in a check-in answered with them', () => {
  const words = ['en', 'hi', 'hi-Latn', 'mr'].flatMap((language) => {
    const file = parse(readFileSync(join(contentRoot, 'locales', language, 'words.yaml'), 'utf8')) as {
      numbers: Record<string, readonly string[]>;
    };
    return Object.entries(file.numbers).flatMap(([value, list]) => (Number(value) <= 40 ? list : []));
  });
  expect(words.length).toBeGreaterThan(150);
  const answers = [
    'nau baar, teen ghante, cheh, char',
    'dard nahi, haan',
    'nau teen chhe char',
    'नौ बार तीन घंटे छह चार',
    'nau vela teen taas saha char',
  ];
  expect([...words, ...answers].filter((word) => found(word).length > 0)).toEqual([]);
});
