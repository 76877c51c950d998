'use client'

import { useEffect, useRef, useState } from 'react'
import { Field } from '@/app/_server/field.tsx'
import { notePriceSays } from '@/lib/buying/note-price.ts'
import { moneyFormat, moneyParse } from '@/lib/measure/money.ts'
import { quantityParse, type StockUnit } from '@/lib/measure/quantity.ts'

interface Line {
  id: number
  number: string
  unit: StockUnit
  priceMinor: number
}

/** The price on the delivery note, empty while nobody read one; what it is more or less than agreed is said as it is typed. */
export function NotePrice({ line, currency }: { line: Line; currency: string }) {
  const { id, number, unit, priceMinor: agreedMinor } = line
  const each = unit === 'each' ? 'each' : `a ${unit}`
  const [says, setSays] = useState<string | null>(null)
  const here = useRef<HTMLParagraphElement>(null)
  useEffect(() => {
    const form = here.current?.closest('form')
    if (!form) return
    const follow = () => {
      const fields = new FormData(form)
      const text = (name: string) => String(fields.get(name) ?? '')
      const notedMinor = moneyParse(text(`price.${id}.${unit}`))
      const quantity =
        cameOf(text(`receive.${id}.${unit}`), text(`pack.${id}`), unit) +
        cameOf(text(`damaged.${id}.${unit}`), '', unit)
      setSays(notedMinor === null ? null : notePriceSays({ unit, quantity, notedMinor, agreedMinor, currency }))
    }
    form.addEventListener('input', follow)
    return () => form.removeEventListener('input', follow)
  }, [id, unit, agreedMinor, currency])
  return (
    <div className="stack tight">
      <Field
        name={`price.${id}.${unit}`}
        label={
          <>
            Price on the delivery note, {currency} {each}
            <span className="visually-hidden"> ({number})</span>
          </>
        }
        hint={`Agreed ${moneyFormat(agreedMinor, currency)} ${each}. Leave it empty where the note has no price.`}
        inputMode="decimal"
        autoComplete="off"
        className="input-number"
      />
      <p ref={here} aria-live="polite" className="small strong">
        {says === null ? '' : `▲ ${says}`}
      </p>
    </div>
  )
}

/** What is typed, in packs where they are chosen; 0 while it is no quantity. */
function cameOf(text: string, pack: string, unit: StockUnit): number {
  const inOne = Number(pack)
  if (inOne > 0) return /^\d{1,6}$/.test(text.trim()) ? Number(text) * inOne : 0
  return quantityParse(text, unit) ?? 0
}
