/** Invented mothers of the simulated month: who they are, and how each behaves. The same for the same number. */

export const languages = ['en', 'hi', 'hi-Latn', 'mr'] as const;
export type Language = (typeof languages)[number];

/** By the beginning of the number, as `TIME_ZONES` of the simulated programme has it. */
export const zoneByPrefix = {
  '+4477009001': 'Asia/Kolkata',
  '+4477009002': 'Asia/Kolkata',
  '+4477009003': 'Asia/Kolkata',
  '+4477009004': 'Asia/Kolkata',
  '+4477009005': 'Europe/London',
  '+4477009006': 'Europe/London',
  '+4477009007': 'America/New_York',
} as const;

/**
 * `answers`: each check-in, fully, after a while. `half`: only its first text. `silent`: never. `fades`: answers for ten days.
 * `rests`: sends PAUSE 6 on the eighth day. `away`: sends PAUSE on the fifth day and RESUME on the nineteenth. `moves`: changes her
 * hour on the ninth. `no-tips`: on the tenth. `stops`: on the twentieth. All of these answer otherwise. `danger`: tells of a fit.
 */
export type Manner =
  | 'answers'
  | 'half'
  | 'silent'
  | 'fades'
  | 'rests'
  | 'away'
  | 'moves'
  | 'no-tips'
  | 'stops'
  | 'danger';

export interface Invented {
  readonly name: string;
  /** Age of her baby in days on the first day. */
  readonly ageDays: number;
  readonly eats: 1 | 2 | 3;
  /** Hour of the day at which she is asked, as she said it. */
  readonly hour: number;
}

export interface InventedLine {
  readonly phone: string;
  readonly zone: string;
  readonly language: Language;
  readonly manner: Manner;
  /** One, or two who share the phone. */
  readonly mothers: readonly Invented[];
  /** Minutes after the first instant of the month at which she joins. */
  readonly joinsAfterMinutes: number;
  /** Minutes from a question to her answer. */
  readonly answersAfterMinutes: number;
}

const firstNames = ['Asha', 'Bina', 'Chitra', 'Divya', 'Esha', 'Gauri', 'Hema', 'Indu', 'Jaya', 'Kavita'];
const secondNames = ['Lata', 'Meena', 'Nisha', 'Padma', 'Rekha', 'Sarita', 'Tara', 'Uma', 'Vidya', 'Zoya'];
const hours = [8, 9, 10, 11, 12, 13, 14, 16, 17, 18, 19];

/** Many are young, since those are written to most; none leaves the line within the month. */
const ages = [
  15, 16, 18, 20, 23, 27, 30, 40, 55, 70, 83, 90, 100, 120, 150, 170, 181, 200, 250, 300, 360, 400, 500, 600,
  690,
];
/** Not yet two weeks: only of mothers who answer, since the silence of others is a matter of alerts and follow-ups. */
const newborn = [2, 4, 6, 9, 12];

export function inventedLines(mothers: number): readonly InventedLine[] {
  const lines: InventedLine[] = [];
  const prefixes = Object.keys(zoneByPrefix) as (keyof typeof zoneByPrefix)[];
  for (let made = 0, i = 0; made < mothers; i++) {
    const prefix = prefixes[i % prefixes.length] ?? '+4477009001';
    const manner = mannerOf(i);
    const isShared = i % 9 === 4 && made + 2 <= mothers && (manner === 'silent' || manner === 'answers');
    const hour = manner === 'half' ? 10 + (i % 2) : (hours[i % hours.length] ?? 10);
    const pair = isShared ? [9, 12] : [hour];
    lines.push({
      phone: numberOf(prefix, Math.floor(i / prefixes.length)),
      zone: zoneByPrefix[prefix],
      language: languages[Math.floor(i / 3) % languages.length] ?? 'en',
      manner,
      mothers: pair.map((at, j) => ({
        name: (j === 0 ? firstNames : secondNames)[(i + j) % 10] ?? 'Asha',
        ageDays: ageOf(i + j * 7, manner, isShared),
        eats: ((i % 3) + 1) as 1 | 2 | 3,
        hour: at,
      })),
      joinsAfterMinutes: i % 80,
      answersAfterMinutes: 3 + ((i * 7) % 47),
    });
    made += pair.length;
  }
  return lines;
}

function mannerOf(i: number): Manner {
  const of = (i * 37) % 100;
  if (of < 42) return 'answers';
  if (of < 60) return 'silent';
  if (of < 66) return 'half';
  if (of < 74) return 'fades';
  if (of < 80) return 'rests';
  if (of < 85) return 'away';
  if (of < 91) return 'moves';
  if (of < 95) return 'no-tips';
  return of < 98 ? 'stops' : 'danger';
}

function ageOf(i: number, manner: Manner, isShared: boolean): number {
  const mayBeNew = manner === 'answers' && !isShared;
  if (mayBeNew && i % 8 === 3) return newborn[i % newborn.length] ?? 4;
  return ages[(i * 11) % ages.length] ?? 100;
}

/** Ofcom's range for fiction, three figures longer than any number that can be dialled, since the range has a thousand only. */
function numberOf(prefix: string, i: number): string {
  return `${prefix}${String(i % 100).padStart(2, '0')}${String(Math.floor(i / 100)).padStart(3, '0')}`;
}
