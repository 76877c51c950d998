import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { KitHintView } from '@/lib/db/kit.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'

/** Kits that would do what is wanted for less: a hint with both sums, nothing is changed by it. */
export function KitHints({ hints, currency }: { hints: readonly KitHintView[]; currency: string }) {
  if (hints.length === 0) return null
  const money = (minor: number) => moneyFormat(minor, currency)
  return (
    <section className="sheet stack tight" aria-labelledby="as-kit">
      <h2 id="as-kit">Cheaper as a kit</h2>
      <ul className="plain-list stack tight">
        {hints.map((hint) => (
          <li key={hint.kit.kitId}>
            {hint.kits} x{' '}
            <Link href={paths.part(hint.kit.kitId)} className="number" prefetch={false}>
              {hint.kit.number}
            </Link>{' '}
            {hint.kit.description}: <span className="strong">{money(hint.asKitMinor)}</span>
            {hint.wanted.some((one) => one.rest > 0) ? ' with the rest bought singly' : ''}, singly{' '}
            <span className="strong">{money(hint.singlyMinor)}</span>, so {money(hint.singlyMinor - hint.asKitMinor)}{' '}
            less.{' '}
            <span className="soft small">
              Wanted of its {counted(hint.kit.contents.length, 'part')}:{' '}
              {hint.wanted.map((one) => one.number).join(', ')}.
              {hint.spare.length > 0 ? ` It also brings ${hint.spare.map((one) => one.number).join(', ')}.` : ''} Prices
              of today’s offers, before packs and carriage.
              {hint.onHand > 0 ? ` ${hint.onHand} on the shelf now.` : ''}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}
