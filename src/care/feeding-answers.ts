import type { ToldNumber } from './told.ts';

/**
 * What is known of one baby's feeding in the last 24 hours; of twins, one of these each. Undefined or null is unknown and
 * never counts as good. Of a told range the more cautious end is used.
 */
export interface FeedingAnswers {
  /** Whole days since birth: 0 in the first 24 hours. */
  readonly ageDays: number;
  /** Hours since birth, where known; only used in the first day. */
  readonly ageHours?: number | null | undefined;
  readonly birthWeightGrams?: number | null | undefined;
  readonly gestationWeeks?: number | null | undefined;
  /** Breastfeeds in 24 hours, day and night. */
  readonly feeds24h?: ToldNumber;
  readonly longestGapHours?: ToldNumber;
  readonly nightFeeds?: ToldNumber;
  readonly wetNappies24h?: ToldNumber;
  readonly stools24h?: ToldNumber;
  /** False only when she says that the baby has passed no stool at all since birth. */
  readonly stoolSinceBirth?: boolean | null | undefined;
  readonly blackStool?: boolean | null | undefined;
  /** Dark urine, or a brick-dust stain. */
  readonly darkUrine?: boolean | null | undefined;
  readonly pain?: 'none' | 'mild' | 'severe' | null | undefined;
  /** Nipple cracked or bleeding: read as severe pain. */
  readonly crackedNipple?: boolean | null | undefined;
  /** She is about to stop, or cuts feeds short, because it hurts. */
  readonly aboutToStop?: boolean | null | undefined;
  readonly softAfterFeed?: 'yes' | 'no' | 'unsure' | null | undefined;
  readonly swallowing?: 'yes' | 'no' | 'unsure' | null | undefined;
  /** Feeds that never end, or end at once. */
  readonly endlessOrVeryShortFeeds?: boolean | null | undefined;
  readonly sleepyAtBreast?: boolean | null | undefined;
  /**
   * True when a believable weight of these days is at hand. When feeds, wet nappies and stools were all not asked (undefined,
   * not null) and nothing else of the feeding was told, the weight speaks for itself and nothing is held against her.
   */
  readonly weighedLately?: boolean | undefined;
  /** True when the weights show a usual gain. Weights themselves are judged elsewhere. */
  readonly gainingWell?: boolean | null | undefined;
}
