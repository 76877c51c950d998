import type { Owed } from '@/lib/db/credit-owed.ts'
import { moneyFormat } from '@/lib/measure/money.ts'

/** Behind a difference of a list: what of it the supplier has still to credit. */
export function WaitsFor({ owed, currency }: { owed: Owed; currency: string }) {
  if (owed.state !== 'disputed' || owed.openMinor === 0) return null
  return (
    <>
      : waits for a credit note, open <span className="strong">{moneyFormat(owed.openMinor, currency)}</span> of{' '}
      {moneyFormat(owed.owedMinor, currency)}
    </>
  )
}
