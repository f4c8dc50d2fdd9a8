/** Someone to be on the practice page. All are invented; numbers are from Ofcom's range for fiction. */
export interface PracticeMother {
  readonly name: string;
  /** E.164. */
  readonly number: string;
  readonly ageYears: number;
  /** Age of the baby, or of the twins, in days when the practice begins. */
  readonly babyAgeDays: number;
  readonly babies: readonly PracticeBaby[];
  /** What is going on, for who plays her. */
  readonly story: string;
}

export interface PracticeBaby {
  readonly name: string;
  readonly sex: 'girl' | 'boy';
  readonly birthWeightGrams: number;
}

/** Five mothers of different ages, with babies of different ages. */
export const practiceMothers: readonly PracticeMother[] = [
  {
    name: 'Asha',
    number: '+447700900101',
    ageYears: 19,
    babyAgeDays: 2,
    babies: [{ name: 'Mina', sex: 'girl', birthWeightGrams: 2700 }],
    story: 'Her first baby sleeps a lot. She is not sure whether any milk is coming yet.',
  },
  {
    name: 'Zainab',
    number: '+447700900102',
    ageYears: 24,
    babyAgeDays: 9,
    babies: [{ name: 'Omar', sex: 'boy', birthWeightGrams: 3100 }],
    story:
      'Feeding goes well: 9 feeds and 7 wet nappies yesterday. It hurts a little at the start of a feed.',
  },
  {
    name: 'Lata',
    number: '+447700900103',
    ageYears: 29,
    babyAgeDays: 21,
    babies: [{ name: 'Ravi', sex: 'boy', birthWeightGrams: 2300 }],
    story:
      'He was born small. Only 5 feeds and 3 wet nappies yesterday, and her family says her milk is thin.',
  },
  {
    name: 'Grace',
    number: '+447700900104',
    ageYears: 34,
    babyAgeDays: 44,
    babies: [
      { name: 'Joy', sex: 'girl', birthWeightGrams: 2200 },
      { name: 'Noel', sex: 'boy', birthWeightGrams: 2450 },
    ],
    story: 'Twins. She is tired, and one breast became hot, hard and painful this morning.',
  },
  {
    name: 'Rukmini',
    number: '+447700900105',
    ageYears: 40,
    babyAgeDays: 128,
    babies: [{ name: 'Tara', sex: 'girl', birthWeightGrams: 3300 }],
    story: 'Her fourth child. She is back at work in the field and is away from her for half the day.',
  },
];

/** A counsellor whose phone is on the practice page. */
export interface PracticeCounsellor {
  readonly name: string;
  /** E.164. */
  readonly number: string;
}

/** A number nobody has used yet in this practice, of the 700 kept for new phones; undefined when all are used. */
export function newPhoneNumber(
  isUsed: (number: string) => boolean,
  random: () => number,
): string | undefined {
  const first = Math.floor(random() * newPhones);
  for (let step = 0; step < newPhones; step += 1) {
    const number = `+447700900${200 + ((first + step) % newPhones)}`;
    if (!isUsed(number)) return number;
  }
  return undefined;
}

const newPhones = 700;
