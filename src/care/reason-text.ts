import type { AssessAdviceCode } from './assess.ts';
import type { Reason } from './reason.ts';
import type { BabySignCode, MotherSignCode } from './signs.ts';

type Values = Reason['values'];
type Words = (values: Values) => string;

const why: Readonly<Record<string, string>> = {
  'kilos-for-grams': 'looks like kilos typed for grams',
  'ten-times': 'looks like one digit too many',
  'a-tenth': 'looks like one digit too few',
  'too-light': 'is far lighter than expected',
  'too-heavy': 'is far heavier than expected',
  'after-today': 'is dated after today',
};

const days = (count: number | string | undefined): string =>
  `${String(count)} ${count === 1 ? 'day' : 'days'}`;
const usual = ({ usualGramsPerDay: cut }: Values): string =>
  cut === undefined ? '' : ` (usual: ${String(cut)} or more)`;
const measured = ({ temperatureC: t, breathsPerMinute: b, hours: h }: Values): string => {
  const figures = [
    ...(t === undefined ? [] : [`${String(t)} C`]),
    ...(b === undefined ? [] : [`${String(b)} breaths a minute`]),
    ...(h === undefined ? [] : [`${String(h)} hours`]),
  ];
  return figures.length === 0 ? '' : ` (${figures.join(', ')})`;
};

const babySign: Readonly<Record<BabySignCode, string>> = {
  'not-feeding': 'Baby is not able to feed, has stopped, or feeds much less',
  convulsion: 'Baby has had a fit',
  'fast-breathing': 'Baby breathes very fast, or breathing is not normal',
  'chest-indrawing': "Baby's chest pulls in with each breath",
  lethargy: 'Baby is hard to wake, limp or hardly moves',
  fever: 'Baby has a fever or is hot to touch',
  cold: 'Baby is cold to touch or has a low temperature',
  jaundice: "Baby's skin or eyes are yellow",
  'cord-skin-infection': 'Cord or skin is red, draining or has pustules',
  'blood-in-stool': "Blood in the baby's stool",
  dehydration: 'Loose stools with signs of drying out',
  'persistent-vomiting': 'Baby vomits everything, or vomit is green or bloody',
  'no-urine': 'No wet nappy for many hours',
  faint: 'Baby had a limp, pale or blue spell',
  'stiff-neck-soft-spot': 'Stiff neck or bulging soft spot',
  'rash-with-fever': 'Rash that stays when pressed, with fever',
  'eye-infection': "Baby's eyes are swollen, red or have pus",
  'newborn-bleeding': 'Baby bleeds from the cord or elsewhere, or is very pale',
  'swollen-belly': "Baby's belly is swollen",
  'pale-stools': 'Chalky stools, or dark urine with yellow skin',
};

const motherSign: Readonly<Record<MotherSignCode, string>> = {
  bleeding: 'Mother bleeds heavily',
  'headache-vision': 'Mother has a severe headache, troubled sight, or pain under the ribs',
  'maternal-convulsion': 'Mother has had a fit',
  'maternal-fever': 'Mother has a fever',
  breathless: 'Mother is short of breath',
  'abdominal-pain': 'Mother has belly pain',
  'foul-discharge': "Mother's discharge smells bad",
  'breast-red-fever': 'Breast is hot, red and painful, with fever or feeling ill',
  'leg-swelling': 'Leg, or face and hands, swollen',
  'chest-pain': 'Mother has chest pain',
  wound: 'Wound or tear is red, open or has pus',
  'self-harm': 'Mother has thoughts of harming herself',
  'harm-baby': 'Mother has thoughts of harming the baby',
  faint: 'Mother fainted or nearly fainted',
};

const worked: Readonly<Record<string, Words>> = {
  'weight-loss': (v) =>
    `Weight is ${String(v['lossPercent'])} % below birth weight (${String(v['lostGrams'])} g)`,
  'weight-falling': (v) => `Lost ${String(v['lostGrams'])} g in ${days(v['days'])}, after the first week`,
  'not-regained': (v) => `Still ${String(v['shortGrams'])} g below birth weight at ${days(v['day'])}`,
  'weight-low': (v) => `Weight for age is low: z ${String(v['z'])}`,
  'gain-slow': (v) => `Gains slowly: ${String(v['gramsPerDay'])} g a day over ${days(v['days'])}${usual(v)}`,
  'crossing-down': (v) => `Has fallen ${String(v['fallZ'])} z from the highest since day 14`,
  'weight-doubtful': (v) =>
    `The weight of day ${String(v['day'])} ${why[String(v['why'])] ?? 'is doubtful'}; ${
      v['ifTrue'] === undefined
        ? 'it is not used: weigh again'
        : 'if it is true it is urgent: weigh again now'
    }`,
  'small-or-early': () =>
    'Born under 2000 g or before 34 weeks: to be followed by a counsellor, not by the line alone',
  'age-corrected': (v) =>
    `Born at ${String(v['gestationWeeks'])} weeks: growth is read at the corrected age, a simplification`,
  'wet-none': () => 'No wet nappy in 24 hours',
  'wet-few': (v) =>
    `${String(v['wet'])} wet nappies in 24 hours (expected: ${String(v['expected'])} or more)`,
  'feeds-few': (v) => `${String(v['feeds'])} feeds in 24 hours (expected: ${String(v['expected'])} or more)`,
  'stool-none-first-48h': () => 'No stool told in the first 48 hours',
  'urine-dark': () => 'Dark urine or a brick-dust stain after day 3',
  'stool-black': () => 'Black stools after day 5',
  'transfer-poor': () =>
    'Milk may not be passing well: breast not softer, no swallows, or feeds very long, very short or sleepy',
  'gap-long': (v) => `${String(v['hours'])} hours between feeds (usual: up to ${String(v['most'])})`,
  'stools-few': (v) =>
    `${String(v['stools'])} stools in 24 hours (expected: ${String(v['expected'])} or more)`,
  'pain-severe': () => 'Severe pain, or a cracked or bleeding nipple',
  'night-feeds-none': () => 'No feed at night',
  'pain-lasting': () => 'Pain while feeding, after day 10',
  'could-not-tell': () => 'Could not tell: feeds, wet nappies or stools are not known',
  'thoughts-of-harm': () => 'Thoughts of harm to herself or the baby',
  'low-mood': (v) => `Mood questions score ${String(v['score'])} of 6`,
  'some-low-mood': (v) =>
    `Mood questions score ${String(v['score'])} of 6; a low score does not mean that she is well`,
  'worry-twice': (v) => `Told of a worry ${String(v['times'])} times in a week`,
  'feeds-falling': (v) => `Feeds fell from ${String(v['from'])} to ${String(v['to'])} in ${days(v['days'])}`,
  'pain-persists': (v) => `Pain while feeding for ${days(v['days'])}`,
  silent: (v) => `${String(v['missed'])} check-ins without an answer`,
  'concerns-together': (v) => `${String(v['count'])} concerns at once`,
};

/** A reason in plain English, for clinical leads and the desk. The mother's words are in the locale files, not here. */
export function reasonText(reason: Reason): string {
  const signs: Readonly<Record<string, string>> = reason.values['who'] === 'mother' ? motherSign : babySign;
  const sign = signs[reason.code];
  if (sign !== undefined) return `${sign}${measured(reason.values)}.`;
  const words = worked[reason.code];
  if (words === undefined) throw new RangeError(`no text for the reason "${reason.code}"`);
  return `${words(reason.values)}.`;
}

const advice: Readonly<Record<AssessAdviceCode, string>> = {
  'go-now': 'Go to the nearest health facility now; keep the baby warm on the way.',
  'stay-with-someone': 'Stay with someone she trusts; a person speaks with her now, and she goes to care.',
  'person-today': 'A counsellor speaks with her today and checks the signs.',
  'person-soon': 'A counsellor speaks with her within two days.',
  'weigh-again': 'Weigh again on the same scale, and type the grams.',
  latch: 'Look at position and latch first: chin in, mouth wide, no pain after the first seconds.',
  'latch-and-drain':
    'Look at position and latch, let the baby drain one breast and offer the other, more often.',
  'feed-more-often': 'Feed at the first cues, 8 times or more in 24 hours, day and night, with a good latch.',
  'wake-to-feed': 'Wake a sleepy baby by 3 hours, skin to skin, and check the latch.',
  'feed-at-night': 'Keep one or two feeds at night; they keep the milk coming.',
  'count-feeds-and-nappies': 'Count feeds, wet nappies and stools for one day, and answer again.',
  'keep-going': 'Keep feeding at the first cues, day and night.',
};

/** The advice in one plain English sentence, for clinical leads. */
export function adviceText(code: AssessAdviceCode): string {
  return advice[code];
}
