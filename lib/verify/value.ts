/** What a part, or a batch in a bin, has by its movements. */
export interface Worth {
  quantity: number
  valueMinor: number
}

/** Parts whose kept quantity and value are not the sums of their movements, and values that no stock can have. */
export function worthFaults(sums: ReadonlyMap<number, Worth>, kept: ReadonlyMap<number, Worth>): string[] {
  return [...new Set([...sums.keys(), ...kept.keys()])].flatMap((part) => {
    const sum = sums.get(part) ?? { quantity: 0, valueMinor: 0 }
    const says = kept.get(part)
    const faults: string[] = []
    if (!says) {
      if (sum.quantity !== 0 || sum.valueMinor !== 0)
        faults.push(
          `part ${part}: its value is not kept, the movements add up to ${sum.quantity} worth ${sum.valueMinor}`,
        )
    } else if (says.quantity !== sum.quantity || says.valueMinor !== sum.valueMinor)
      faults.push(
        `part ${part}: kept are ${says.quantity} worth ${says.valueMinor}, the movements add up to ${sum.quantity} worth ${sum.valueMinor}`,
      )
    if (sum.valueMinor < 0) faults.push(`part ${part}: its movements add up to less than nothing, ${sum.valueMinor}`)
    if (sum.quantity === 0 && sum.valueMinor !== 0)
      faults.push(`part ${part}: none is left, and its movements add up to ${sum.valueMinor}`)
    return faults
  })
}

export interface ValuedLine {
  id: number
  kind: string
  partId: number
  binId: number
  quantity: number
  valueMinor: number | null
  batchId: number | null
}

/** Movements that say nothing of their value, and transfers that change it. */
export function lineValueFaults(lines: readonly ValuedLine[]): string[] {
  return lines.flatMap(({ id, kind, valueMinor }) => {
    if (valueMinor === null) return [`movement ${id} says nothing of its value`]
    if ((kind === 'transfer-in' || kind === 'transfer-out') && valueMinor !== 0)
      return [`movement ${id} (${kind}) changes the value by ${valueMinor}`]
    return []
  })
}

/** What lies of a part in a bin, and how much of it belongs to batches; minor units. */
export interface BinInBatches {
  partId: number
  binId: number
  onHand: number
  inBatches: number
  /** Everything of the part belongs to a batch. */
  asked: boolean
}

/** Bins whose batches hold more than lies there, or less where everything belongs to a batch. */
export function batchSumFaults(bins: readonly BinInBatches[]): string[] {
  return bins.flatMap(({ partId, binId, onHand, inBatches, asked }) =>
    inBatches > onHand || (asked && inBatches < onHand)
      ? [`part ${partId} in bin ${binId}: ${onHand} lie there, its batches add up to ${inBatches}`]
      : [],
  )
}

/** Batches in a bin that do not hold the sum of the movements that name them; both maps by batch and bin. */
export function batchFaults(sums: ReadonlyMap<string, number>, kept: ReadonlyMap<string, number>): string[] {
  return [...new Set([...sums.keys(), ...kept.keys()])].flatMap((key) => {
    const [batch, bin] = key.split(':')
    const sum = sums.get(key) ?? 0
    const says = kept.get(key) ?? 0
    return says === sum ? [] : [`batch ${batch} in bin ${bin}: kept are ${says}, the movements add up to ${sum}`]
  })
}
