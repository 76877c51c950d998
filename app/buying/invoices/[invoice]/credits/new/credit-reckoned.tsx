'use client'

import { useEffect, useRef, useState } from 'react'
import type { CreditExpected } from '@/lib/db/credit-read.ts'
import { type CreditedLine, creditSpread, creditTax } from '@/lib/invoice/credit.ts'
import { moneyFormat, moneyParse } from '@/lib/measure/money.ts'

type Of = Pick<CreditExpected, 'owed' | 'lines' | 'totals'>
interface Reckoning {
  netMinor: number
  taxMinor: number
  totalMinor: number
  /** What stays open of the differences. */
  openMinor: number
}

/**
 * What the credit note should come to by what is entered, beside the total that is read off it, and what it leaves open. The tax follows
 * the amounts until somebody types it. Without scripts it stays at all that is open.
 */
export function CreditReckoned({ owed, lines, totals, currency }: Of & { currency: string }) {
  const [reckoned, setReckoned] = useState<Reckoning>({ ...totals, openMinor: 0 })
  const here = useRef<HTMLParagraphElement>(null)
  useEffect(() => {
    const form = here.current?.closest('form')
    if (!form) return
    let isTaxTyped = false
    const follow = (event: Event) => {
      if (!(event.target instanceof HTMLInputElement || event.target instanceof HTMLSelectElement)) return
      if (event.target.name === 'tax') isTaxTyped = true
      const next = reckon(new FormData(form), { owed, lines, totals })
      const tax = form.elements.namedItem('tax')
      if (!isTaxTyped && tax instanceof HTMLInputElement) tax.value = (next.taxMinor / 100).toFixed(2)
      const taxMinor = isTaxTyped ? moneyOf(new FormData(form), 'tax') : next.taxMinor
      setReckoned({ ...next, taxMinor, totalMinor: next.netMinor + taxMinor })
    }
    form.addEventListener('input', follow)
    return () => form.removeEventListener('input', follow)
  }, [owed, lines, totals])
  const money = (minor: number) => moneyFormat(minor, currency)
  return (
    <p ref={here}>
      By what is entered: without tax {money(reckoned.netMinor)}, tax {money(reckoned.taxMinor)}, total{' '}
      <span className="strong">{money(reckoned.totalMinor)}</span>.{' '}
      {reckoned.openMinor > 0 ? `${money(reckoned.openMinor)} without tax stay open.` : null}
    </p>
  )
}

function moneyOf(form: FormData, name: string): number {
  const value = form.get(name)
  return moneyParse(typeof value === 'string' ? value : '') ?? 0
}

function reckon(form: FormData, { owed, lines, totals }: Of): Reckoning {
  const spread = new Map(
    form.get('how') === 'sum'
      ? creditSpread(moneyOf(form, 'sum'), owed).lines.map(({ differenceId, amountMinor }) => [
          differenceId,
          amountMinor,
        ])
      : owed.map(({ id }) => [id, moneyOf(form, `credit.${id}`)]),
  )
  const given = owed.map(({ id, kind, openMinor }) => ({ kind, openMinor, amountMinor: spread.get(id) ?? 0 }))
  const back = lines.map(
    ({ lineId }): CreditedLine => ({ kind: null, amountMinor: moneyOf(form, `backFor.${lineId}`) }),
  )
  const all = [...given, ...back]
  const netMinor = all.reduce((sum, { amountMinor }) => sum + amountMinor, 0)
  const taxMinor = creditTax(all, totals.taxThousandths)
  const openMinor = given.reduce((sum, one) => sum + Math.max(0, one.openMinor - one.amountMinor), 0)
  return { netMinor, taxMinor, totalMinor: netMinor + taxMinor, openMinor }
}
