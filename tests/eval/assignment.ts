/**
 * Pairs rows with columns so that the sum of costs is the least there is (Hungarian method with potentials: H. W. Kuhn 1955,
 * J. Munkres 1957). `costs[row][column]` are finite; rows may outnumber columns or the other way round. Answers for each row
 * its column, or -1 when columns ran out.
 */
export function assignmentLeast(costs: readonly (readonly number[])[]): number[] {
  const rows = costs.length
  const columns = costs[0]?.length ?? 0
  if (rows === 0 || columns === 0) return new Array<number>(rows).fill(-1)
  if (rows > columns) {
    const answer = new Array<number>(rows).fill(-1)
    const turned = Array.from({ length: columns }, (_, column) => costs.map((row) => row[column]!))
    assignmentLeast(turned).forEach((row, column) => {
      answer[row] = column
    })
    return answer
  }
  const rowPrice = new Array<number>(rows + 1).fill(0)
  const columnPrice = new Array<number>(columns + 1).fill(0)
  // Row that holds each column; column 0 is where the row being placed starts from.
  const holder = new Array<number>(columns + 1).fill(0)
  for (let row = 1; row <= rows; row++) {
    const from = new Array<number>(columns + 1).fill(0)
    const slack = new Array<number>(columns + 1).fill(Number.POSITIVE_INFINITY)
    const seen = new Array<boolean>(columns + 1).fill(false)
    holder[0] = row
    let at = 0
    while (holder[at] !== 0) {
      seen[at] = true
      const placed = holder[at]!
      let step = Number.POSITIVE_INFINITY
      let next = 0
      for (let column = 1; column <= columns; column++) {
        if (seen[column]) continue
        const left = costs[placed - 1]![column - 1]! - rowPrice[placed]! - columnPrice[column]!
        if (left < slack[column]!) {
          slack[column] = left
          from[column] = at
        }
        if (slack[column]! < step) {
          step = slack[column]!
          next = column
        }
      }
      for (let column = 0; column <= columns; column++) {
        if (seen[column]) {
          rowPrice[holder[column]!]! += step
          columnPrice[column]! -= step
        } else slack[column]! -= step
      }
      at = next
    }
    while (at !== 0) {
      holder[at] = holder[from[at]!]!
      at = from[at]!
    }
  }
  const answer = new Array<number>(rows).fill(-1)
  for (let column = 1; column <= columns; column++) if (holder[column]! > 0) answer[holder[column]! - 1] = column - 1
  return answer
}
