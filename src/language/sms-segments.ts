import { SegmentedMessage } from 'sms-segments-calculator';

/** At most so many segments for one message to a mother: cheap for the programme, and she gets it whole. */
export const segmentBudget = { 'GSM-7': 2, 'UCS-2': 3 } as const;

/** Letters that fit the budget. Source: 3GPP TS 23.038, 153 septets and 67 two-byte letters in a joined segment. */
export const letterBudget = { 'GSM-7': 306, 'UCS-2': 201 } as const;

export interface SegmentCount {
  readonly encoding: 'GSM-7' | 'UCS-2';
  readonly segments: number;
}

/** Counted by a library, by the rules of 3GPP TS 23.038. */
export function segmentsOf(text: string): SegmentCount {
  const counted = new SegmentedMessage(text);
  return { encoding: counted.encodingName === 'GSM-7' ? 'GSM-7' : 'UCS-2', segments: counted.segmentsCount };
}
