import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { counted } from '@/lib/measure/counted.ts'
import type { BuySupplier } from '@/lib/winter/buy-list.ts'
import type { LotSettings, OrderLots } from '@/lib/winter/lots.ts'
import { lotsSays, moneyWords } from '@/lib/winter/words.ts'

interface Props {
  supplier: BuySupplier
  lots: OrderLots
  today: string
  currency: string
  isFirstOnly: boolean
  /** Null where the person may not order. */
  onFirstOnly: ((supplierId: number, isFirstOnly: boolean) => void) | null
}

/** Whether several orders are cheaper than one, and the choice to order only the first of them now. */
export function LotsChoice({ supplier, lots, today, currency, isFirstOnly, onFirstOnly }: Props) {
  const rest = lots.lots.slice(1)
  const lines = rest.reduce((sum, lot) => sum + lot.lines.length, 0)
  const goods = rest.reduce((sum, { goodsMinor }) => sum + goodsMinor, 0)
  return (
    <div className="stack tight">
      <p>{lotsSays(lots, today, currency)}</p>
      {rest.length === 0 || onFirstOnly === null ? null : (
        <label className="tick no-print">
          <input
            type="checkbox"
            checked={isFirstOnly}
            onChange={(event) => onFirstOnly(supplier.id, event.target.checked)}
          />
          <span>
            Leave what can wait for a later order ({counted(lines, 'line')}, {moneyWords(goods, currency)})
            <span className="visually-hidden">: {supplier.name}</span>
          </span>
        </label>
      )}
    </div>
  )
}

/** By what it is weighed, once for the whole list. */
export function LotsHow({ settings, currency }: { settings: LotSettings; currency: string }) {
  return (
    <p className="soft small no-print">
      Several orders are weighed against one by carriage, {moneyWords(settings.orderCostMinor, currency)} for placing an
      order and {settings.holdingPercent} % a year for goods that are there before they have to be (
      <Link href={paths.levelSettings()}>Settings, levels</Link>). What is needed first is ordered first, each line
      whole. What is left for a later order stays on this list.
    </p>
  )
}
