'use client'

import { useEffect, useRef, useState } from 'react'
import { invoicedAmount, type MatchLine } from '@/lib/invoice/match.ts'
import { type Totals, taxOn, taxParse } from '@/lib/invoice/tax.ts'
import { moneyFormat, moneyParse } from '@/lib/measure/money.ts'
import { quantityParse } from '@/lib/measure/quantity.ts'

/**
 * What the invoice should come to by what is entered, beside the total that is read off it. The tax follows the lines until somebody
 * types it. Without scripts it stays at what came and was agreed.
 */
export function Reckoned(props: { lines: readonly MatchLine[]; currency: string; totals: Totals }) {
  const { lines, currency } = props
  const [totals, setTotals] = useState(props.totals)
  const here = useRef<HTMLParagraphElement>(null)
  useEffect(() => {
    const form = here.current?.closest('form')
    if (!form) return
    let isTaxTyped = false
    const follow = (event: Event) => {
      if (!(event.target instanceof HTMLInputElement)) return
      if (event.target.name === 'tax') isTaxTyped = true
      const reckoned = reckon(new FormData(form), lines)
      const tax = form.elements.namedItem('tax')
      if (!isTaxTyped && tax instanceof HTMLInputElement) tax.value = (reckoned.taxMinor / 100).toFixed(2)
      setTotals(isTaxTyped ? withTax(reckoned, moneyOf(new FormData(form).get('tax'))) : reckoned)
    }
    form.addEventListener('input', follow)
    return () => form.removeEventListener('input', follow)
  }, [lines])
  const money = (minor: number) => moneyFormat(minor, currency)
  return (
    <p ref={here}>
      By what is entered: goods {money(totals.goodsMinor)}, carriage {money(totals.carriageMinor)}
      {totals.depositsMinor > 0 ? <>, deposits {money(totals.depositsMinor)}</> : null}, tax {money(totals.taxMinor)},
      total <span className="strong">{money(totals.totalMinor)}</span>.
    </p>
  )
}

const moneyOf = (value: FormDataEntryValue | null): number => moneyParse(typeof value === 'string' ? value : '') ?? 0

function reckon(form: FormData, lines: readonly MatchLine[]): Totals {
  const text = (name: string) => String(form.get(name) ?? '')
  const goodsMinor = lines.reduce((sum, line) => {
    const quantity = quantityParse(text(`quantity.${line.lineId}.${line.unit}`), line.unit) ?? 0
    const priceMinor = moneyOf(form.get(`price.${line.lineId}`))
    return sum + (quantity > 0 ? invoicedAmount({ ...line, invoiced: { quantity, priceMinor } }) : 0)
  }, 0)
  const [carriageMinor, depositsMinor] = [moneyOf(form.get('carriage')), moneyOf(form.get('deposits'))]
  const taxThousandths = taxParse(text('rate')) ?? 0
  const taxMinor = taxOn(goodsMinor + carriageMinor, taxThousandths)
  return withTax({ goodsMinor, carriageMinor, depositsMinor, taxThousandths, taxMinor, totalMinor: 0 }, taxMinor)
}

function withTax(totals: Totals, taxMinor: number): Totals {
  return {
    ...totals,
    taxMinor,
    totalMinor: totals.goodsMinor + totals.carriageMinor + totals.depositsMinor + taxMinor,
  }
}
