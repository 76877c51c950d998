import { partNumberKey } from '../catalogue/part-number.ts'
import { batchSays, isExpired } from './batch.ts'

/** A batch that may go out, as a list offers it. */
export interface LotChoice {
  id: number
  code: string
  expiresOn: string | null
}

/** The one that goes where nobody chooses: the earliest day; for use, the earliest that is not past. `lots` in that order. */
export function lotFirst<L extends LotChoice>(lots: readonly L[], today: string, use: boolean): L | undefined {
  return lots.find((lot) => !(use && isExpired(lot.expiresOn, today)))
}

export interface LotScanned {
  /** To be chosen; null where the pack is the wrong one. */
  id: number | null
  /** What is wrong with it, or that another one should go first; '' where nothing is. */
  says: string
}

/**
 * Holds the pack in hand, by its batch number and use-by day, against the batches that may go out.
 *
 * @param lots what may go
 * @param first the one that should go first
 * @param said of the code on the pack: application identifiers 10 and 17, '' where it says nothing
 * @example lotScanned([{ id: 4, code: 'L23', expiresOn: '2027-03-31' }], undefined, { code: 'l-23', useBy: '' }).id // 4
 */
export function lotScanned(
  lots: readonly LotChoice[],
  first: LotChoice | undefined,
  said: { code: string; useBy: string },
): LotScanned {
  const key = partNumberKey(said.code)
  const found =
    key === ''
      ? lots.filter((lot) => lot.expiresOn === said.useBy)
      : lots.filter((lot) => partNumberKey(lot.code) === key)
  const [lot, another] = found
  if (!lot)
    return { id: null, says: 'By the books none of it lies here: take another pack, or sort the batches of the part.' }
  if (another) return { id: null, says: 'Several batches have that date: choose one.' }
  if (said.useBy !== '' && lot.expiresOn !== said.useBy)
    return {
      id: null,
      says: `In the books batch ${lot.code} is ${lot.expiresOn === null ? 'without a use-by date' : `to be used by ${lot.expiresOn}`}: look at the pack again, or put it right at the batch.`,
    }
  const isFirst = first === undefined || first.id === lot.id || first.expiresOn === lot.expiresOn
  return { id: lot.id, says: isFirst ? '' : `Chosen, but ${batchSays(first)} should go first.` }
}
