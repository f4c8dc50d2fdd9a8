const hourMs = 3_600_000;

/**
 * How long the stores keep what is of use only for a while, in milliseconds on the machine's clock. A carrier repeats a webhook
 * within minutes and tells what became of a text within a day or two (common practice, no source).
 */
export const keepFor = {
  /** Replies to inbound ids, for repeated webhooks. */
  replyMs: 48 * hourMs,
  /** Messages sent or given up, for receipts. */
  settledMessageMs: 72 * hourMs,
} as const;
