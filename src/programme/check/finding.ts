/** What a check found. A problem must be mended before the line may start; a remark is worth knowing. */
export interface Finding {
  readonly weight: 'problem' | 'remark';
  /** File, place, what is wrong, how to mend it. */
  readonly text: string;
}

export const problem = (text: string): Finding => ({ weight: 'problem', text });
export const remark = (text: string): Finding => ({ weight: 'remark', text });
