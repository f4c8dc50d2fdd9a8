import type { CarrierFault } from './channels/carrier.ts';

/** Errors say whose fault it was. `code` is literal, so that one place can turn each into an HTTP status or exit code. */

abstract class EightfeedsError extends Error {
  abstract readonly code: string;
  constructor(message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = new.target.name;
  }
}

/** The operator set something wrong. `problems` has one sentence for each thing to mend. */
export class ConfigError extends EightfeedsError {
  readonly code = 'config';
  readonly problems: readonly string[];
  constructor(problems: readonly string[]) {
    super(problems.join('\n'));
    this.problems = problems;
  }
}

/** A flow or locale file is wrong. Each problem says file, place, what, and how to mend it. */
export class ContentError extends EightfeedsError {
  readonly code = 'content';
  readonly problems: readonly string[];
  constructor(problems: readonly string[]) {
    super(problems.join('\n'));
    this.problems = problems;
  }
}

/** The carrier answered no. `carrierCode` is the carrier's own error number where it gave one. */
export class CarrierRefused extends EightfeedsError {
  readonly code = 'carrier-refused';
  readonly carrierCode: number | undefined;
  readonly httpStatus: number | undefined;
  /** What the number means. Where nobody says: too much at once for HTTP 429, else a no for good. */
  readonly fault: CarrierFault;
  /** Milliseconds for which it asks to be left alone. */
  readonly retryAfterMs: number | undefined;
  constructor(
    message: string,
    carrierCode?: number,
    httpStatus?: number,
    more: { readonly fault?: CarrierFault; readonly retryAfterMs?: number | undefined } = {},
  ) {
    super(message);
    this.carrierCode = carrierCode;
    this.httpStatus = httpStatus;
    this.fault = more.fault ?? (httpStatus === 429 ? 'busy' : 'refused');
    this.retryAfterMs = more.retryAfterMs;
  }
}

/** The carrier gave no answer. `mayHaveSent` is true when the request could have been accepted all the same. */
export class CarrierUnreachable extends EightfeedsError {
  readonly code = 'carrier-unreachable';
  readonly mayHaveSent: boolean;
  constructor(message: string, mayHaveSent: boolean) {
    super(message);
    this.mayHaveSent = mayHaveSent;
  }
}

/** The store cannot be read or written now. Nothing of the change was kept, unless its message says that this is not known. */
export class StoreUnavailable extends EightfeedsError {
  readonly code = 'store-unavailable';
}

/** Someone else committed this line first. Load it again and run the turn on the new state. */
export class StaleState extends EightfeedsError {
  readonly code = 'stale-state';
}

/** The short code of a new alert belongs to another open alert. Run the turn again with another salt. */
export class AlertCodeTaken extends EightfeedsError {
  readonly code = 'alert-code-taken';
}
