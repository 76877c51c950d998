import type { BuyGroup } from '@/lib/winter/buy-list.ts'
import { moneyWords } from '@/lib/winter/words.ts'

/** Before the press: which orders are above the limit of whoever looks, and what becomes of them. */
export function AboveLimit({
  above,
  limitMinor,
  currency,
}: {
  above: readonly BuyGroup[]
  limitMinor: number
  currency: string
}) {
  if (above.length === 0) return null
  const names = above.map(({ supplier, goodsMinor }) => `${supplier.name} (${moneyWords(goodsMinor, currency)})`)
  return (
    <p className="caution">
      Above the {moneyWords(limitMinor, currency)} up to which you approve yourself: {names.join(', ')}. The button
      keeps {above.length === 1 ? 'it as a draft that waits' : 'them as drafts that wait'} for approval.
    </p>
  )
}
