/** A mixed-integer programme as plain numbers: least cost over columns between their limits, under rows between theirs. */
export interface Model {
  columns: ModelColumn[]
  rows: ModelRow[]
}

export interface ModelColumn {
  lower: number
  upper: number
  cost: number
  /** Only whole numbers. */
  whole: boolean
}

export interface ModelRow {
  lower: number
  upper: number
  terms: Term[]
}

/** A column, and how often it counts. */
export type Term = readonly [column: number, times: number]

export interface SolveOptions {
  /** Seconds after which the best answer so far is taken. */
  seconds: number
  /** Share of the cost by which the answer may lie above the least possible; 0 asks for proof. */
  gap: number
  /** Values of all columns to begin with; what breaks a row is left aside by the solver. */
  start?: readonly number[]
}

/**
 * `proven`: no plan is cheaper than `bound`, and `values` is within the gap of it. `found`: time ran out with `values` at hand.
 * `none`: time ran out before anything was found. `bound` is a lower limit of the cost in all of these; -Infinity where not known.
 */
export type Solved =
  | { status: 'proven' | 'found'; values: readonly number[]; cost: number; bound: number }
  | { status: 'none'; bound: number }
  | { status: 'impossible' }
  | { status: 'endless' }

/** What solves a model. It is passed in, so that the trade knows no solver and no clock. */
export type Solve = (model: Model, options: SolveOptions) => Solved

/** Columns and rows one after another; a column is known by its place. */
export class ModelBuilder {
  readonly model: Model = { columns: [], rows: [] }

  column(lower: number, upper: number, cost: number, whole: boolean): number {
    return this.model.columns.push({ lower, upper, cost, whole }) - 1
  }

  /** Yes or no. */
  choice(cost: number): number {
    return this.column(0, 1, cost, true)
  }

  /** A column that is said twice counts as often as both together: solvers refuse a row that holds one twice. */
  row(lower: number, upper: number, terms: readonly Term[]): void {
    this.model.rows.push({ lower, upper, terms: together(terms) })
  }

  atMost(upper: number, terms: readonly Term[]): void {
    this.row(-Infinity, upper, terms)
  }

  atLeast(lower: number, terms: readonly Term[]): void {
    this.row(lower, Infinity, terms)
  }
}

function together(terms: readonly Term[]): Term[] {
  const sums = new Map<number, number>()
  for (const [column, times] of terms) sums.set(column, (sums.get(column) ?? 0) + times)
  return sums.size === terms.length ? [...terms] : [...sums].filter(([, times]) => times !== 0)
}
