import highsLoad from 'highs'
import type { Model, Solve, Solved } from './model.ts'

/** Columns of the model by rows, as the solver takes them. */
function sparse({ columns, rows }: Model) {
  const count = rows.reduce((sum, { terms }) => sum + terms.length, 0)
  const starts = new Int32Array(rows.length + 1)
  const indices = new Int32Array(count)
  const values = new Float64Array(count)
  let at = 0
  for (const [row, { terms }] of rows.entries()) {
    starts[row] = at
    for (const [column, times] of terms) {
      indices[at] = column
      values[at] = times
      at += 1
    }
  }
  starts[rows.length] = at
  return { format: 'csr' as const, numRows: rows.length, numCols: columns.length, starts, indices, values }
}

/**
 * HiGHS, compiled to WebAssembly: the only file that knows it. It works on one thread and cannot be stopped from outside, so the
 * time limit is its own; a model is given back to its memory at once, which nothing else would do.
 */
export async function highsSolver(): Promise<Solve> {
  const highs = await highsLoad()
  const { modelStatus, variableType } = highs.constants
  return (model, { seconds, gap, start }) => {
    // An empty model has no answer in the solver's own words.
    if (model.columns.length === 0)
      return model.rows.every(({ lower, upper }) => lower <= 0 && upper >= 0)
        ? { status: 'proven', values: [], cost: 0, bound: 0 }
        : { status: 'impossible' }
    const anyWhole = model.columns.some(({ whole }) => whole)
    const made = highs.createModel({
      numCols: model.columns.length,
      numRows: model.rows.length,
      colCost: model.columns.map(({ cost }) => cost),
      colLower: model.columns.map(({ lower }) => lower),
      colUpper: model.columns.map(({ upper }) => upper),
      rowLower: model.rows.map(({ lower }) => lower),
      rowUpper: model.rows.map(({ upper }) => upper),
      matrix: sparse(model),
      ...(anyWhole
        ? {
            integrality: model.columns.map(({ whole }) => (whole ? variableType.integer : variableType.continuous)),
          }
        : {}),
    })
    try {
      made.options.set({
        output_flag: false,
        time_limit: Math.max(0.01, seconds),
        mip_rel_gap: gap,
        // Money is counted in whole minor units: less than one of them is no difference.
        mip_abs_gap: gap === 0 ? 1e-6 : 0.5,
        mip_feasibility_tolerance: 1e-7,
      })
      if (start) made.setSolution({ colValue: Float64Array.from(start) })
      made.run()
      return answered()
    } finally {
      made.dispose()
    }

    function answered(): Solved {
      const status = made.getModelStatus()
      if (status === modelStatus.infeasible) return { status: 'impossible' }
      if (status === modelStatus.unbounded || status === modelStatus.unboundedOrInfeasible) {
        // Nothing here costs less than nothing, so of the two it is the one that cannot be kept.
        const endless = model.columns.some(({ cost, upper }) => cost < 0 && upper === Infinity)
        return { status: endless ? 'endless' : 'impossible' }
      }
      const isProven = status === modelStatus.optimal
      const cost = made.getObjectiveValue()
      const found = isProven || Number(made.info.get('primal_solution_status')) === 2
      const said = anyWhole ? Number(made.info.get('mip_dual_bound')) : isProven ? cost : -Infinity
      const bound = Number.isFinite(said) ? said : -Infinity
      if (!found) return { status: 'none', bound }
      return {
        status: isProven ? 'proven' : 'found',
        values: [...made.getSolution().colValue],
        cost,
        bound: Math.min(bound, cost),
      }
    }
  }
}
