export { type ChosenTip, type TipReason, type TipRule, tipDue, tipRules } from './tip-due.ts';
export { tipFits } from './tip-fits.ts';
export { daysToNextTip, lastTipDay } from './tip-rhythm.ts';
export { type Tip, type TipConditions, type TipFacts, type TipTopic, tipTopics } from './tip.ts';
export { type TipConcern, tipConcerns } from './tip-concern.ts';
