/** Where the command's words go. Passed in, so that it can be tested and so that no module reaches for the console. */
export interface Terminal {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** True where a progress bar may be drawn on the error stream. */
  readonly interactive: boolean;
}
