/** What a reader of cells has found in one cell. The worksheet takes it as read and knows no parser. */
export interface CellNames {
  /**
   * The names that the cell defines at top level. For an import the value says what is imported
   * (`module#export`), so that the same import in two cells is no clash; for everything else it is null.
   */
  readonly defines: ReadonlyMap<string, string | null>;
  /** The names that the cell uses and does not define itself, in any depth of it; those of no cell are global names. */
  readonly uses: readonly string[];
  /** Those of `uses` that the cell assigns to (`x = 1`, `x++`). */
  readonly assigns: readonly string[];
  /** True for a cell that only a person runs: others mark it as stale and go on. */
  readonly byHand: boolean;
}
