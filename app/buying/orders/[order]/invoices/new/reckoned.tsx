'use client'

import { useEffect, useRef, useState } from 'react'
import { useReady } from '@/app/_parts/use-ready.ts'
import { invoicedAmount, type MatchLine, totalBeyond } from '@/lib/invoice/match.ts'
import { type Totals, taxOn, taxParse } from '@/lib/invoice/tax.ts'
import { moneyFormat, moneyParse } from '@/lib/measure/money.ts'
import { quantityParse } from '@/lib/measure/quantity.ts'

interface Entered {
  totals: Totals
  /** How many lines are on the invoice, and its total as typed: null while it is none. */
  count: number
  typedMinor: number | null
  /** Half a total is no wrong total: nothing is said of it until it is typed. */
  isTyping: boolean
}

/**
 * What the invoice should come to by what is entered, beside the total that is read off it. The tax follows the lines until somebody
 * types it. The total is never filled in by itself, or the paper would not be looked at. Without scripts it stays at what came and
 * was agreed.
 */
export function Reckoned(props: { lines: readonly MatchLine[]; currency: string; totals: Totals }) {
  const { lines, currency } = props
  const count = lines.filter(({ invoiced }) => invoiced.quantity > 0).length
  const [entered, setEntered] = useState<Entered>({
    ...{ totals: props.totals, count, typedMinor: null, isTyping: false },
  })
  const here = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const form = here.current?.closest('form')
    if (!form) return
    let isTaxTyped = false
    const follow = (event: Event) => {
      if (!(event.target instanceof HTMLInputElement)) return
      if (event.target.name === 'tax') isTaxTyped = true
      const isTyping = event.type === 'input' && event.target.name === 'total'
      const found = { ...reckon(new FormData(form), lines), isTyping }
      const tax = form.elements.namedItem('tax')
      if (!isTaxTyped && tax instanceof HTMLInputElement) tax.value = minorInput(found.totals.taxMinor)
      setEntered(isTaxTyped ? { ...found, totals: withTax(found.totals, moneyOf(new FormData(form), 'tax')) } : found)
    }
    for (const kind of ['input', 'change']) form.addEventListener(kind, follow)
    return () => {
      for (const kind of ['input', 'change']) form.removeEventListener(kind, follow)
    }
  }, [lines])
  const { totals } = entered
  const money = (minor: number) => moneyFormat(minor, currency)
  return (
    <div className="stack tight" ref={here}>
      <p>
        By what is entered: goods {money(totals.goodsMinor)}, carriage {money(totals.carriageMinor)}
        {totals.depositsMinor > 0 ? <>, deposits {money(totals.depositsMinor)}</> : null}, tax {money(totals.taxMinor)},
        total <span className="strong">{money(totals.totalMinor)}</span>.
      </p>
      <Total entered={entered} money={money} />
    </div>
  )
}

/** How the total on the paper stands to what is entered; where it is the same, one press types it. */
function Total({ entered, money }: { entered: Entered; money: (minor: number) => string }) {
  const { totals, count, typedMinor, isTyping } = entered
  const isReady = useReady()
  const beyond = typedMinor === null ? 0 : totalBeyond(typedMinor, totals.totalMinor, count)
  return (
    <>
      <p role="status">
        {typedMinor === null ? null : beyond === 0 ? (
          '✓ The total agrees with it.'
        ) : isTyping ? null : (
          <span className="strong">
            ▲ The total is {money(Math.abs(beyond))} {beyond > 0 ? 'more' : 'less'}. Look at the paper again; kept so,
            it is a difference.
          </span>
        )}
      </p>
      {isReady && (typedMinor === null || beyond !== 0) ? (
        <p>
          <button
            type="button"
            className="button"
            onClick={({ currentTarget }) => {
              const total = currentTarget.form?.elements.namedItem('total')
              if (!(total instanceof HTMLInputElement)) return
              total.value = minorInput(totals.totalMinor)
              total.dispatchEvent(new Event('input', { bubbles: true }))
              // The button goes as the total agrees: what was pressed is where to go on.
              total.focus()
            }}
          >
            The paper says {money(totals.totalMinor)} too
          </button>
        </p>
      ) : null}
    </>
  )
}

const minorInput = (minor: number): string => (minor / 100).toFixed(2)

const textOf = (form: FormData, name: string): string => String(form.get(name) ?? '')

const moneyOf = (form: FormData, name: string): number => moneyParse(textOf(form, name)) ?? 0

function reckon(form: FormData, lines: readonly MatchLine[]): Omit<Entered, 'isTyping'> {
  let [goodsMinor, count] = [0, 0]
  for (const line of lines) {
    const quantity = quantityParse(textOf(form, `quantity.${line.lineId}.${line.unit}`), line.unit) ?? 0
    if (quantity <= 0) continue
    count++
    goodsMinor += invoicedAmount({
      ...line,
      invoiced: { quantity, priceMinor: moneyOf(form, `price.${line.lineId}`) },
    })
  }
  const [carriageMinor, depositsMinor] = [moneyOf(form, 'carriage'), moneyOf(form, 'deposits')]
  const taxThousandths = taxParse(textOf(form, 'rate')) ?? 0
  const taxMinor = taxOn(goodsMinor + carriageMinor, taxThousandths)
  const totals = { goodsMinor, carriageMinor, depositsMinor, taxThousandths, taxMinor, totalMinor: 0 }
  return { totals: withTax(totals, taxMinor), count, typedMinor: moneyParse(textOf(form, 'total')) }
}

function withTax(totals: Totals, taxMinor: number): Totals {
  return {
    ...totals,
    taxMinor,
    totalMinor: totals.goodsMinor + totals.carriageMinor + totals.depositsMinor + taxMinor,
  }
}
