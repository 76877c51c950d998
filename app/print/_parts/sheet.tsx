import Link from 'next/link'
import type { ReactNode } from 'react'
import { PrintButton } from '@/app/_parts/print-button.tsx'
import { dateSays } from '@/lib/measure/date.ts'
import { pageFootStyle } from '@/lib/print/page-foot.ts'
import styles from './sheet.module.css'

export interface SheetProps {
  title: string
  back: { href: string; says: string }
  /** Machine and job, on every page. */
  foot: string
  facts: (readonly [label: string, value: ReactNode])[]
  children: ReactNode
}

/** A sheet for paper: on the screen it looks as it will on paper, and reads at the width of a phone. */
export function Sheet({ title, back, foot, facts, children }: SheetProps) {
  const printed = dateSays(new Date())
  return (
    <main className={`page ${styles.paper}`} id="page">
      <style>{pageFootStyle(foot, printed)}</style>
      <p className={`row spread no-print ${styles.bar}`}>
        <Link href={back.href}>{back.says}</Link>
        <PrintButton>Print</PrintButton>
      </p>
      <header className={styles.head}>
        <h1>{title}</h1>
        <dl>
          {[...facts, ['Printed', printed] as const].map(([label, value]) => (
            <div key={label}>
              <dt>{label}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      </header>
      {children}
    </main>
  )
}

export function Part({ title, children }: { title: string; children: ReactNode }) {
  return (
    <section className={styles.part}>
      <h2>{title}</h2>
      {children}
    </section>
  )
}

/** A box to tick with a pencil; ticked already where it was done on the screen. */
export function Box({ says, done = false }: { says?: string; done?: boolean }) {
  return (
    <span className={styles.tick}>
      <span className={styles.box} aria-hidden="true">
        {done ? '✓' : ''}
      </span>
      {says ?? (done ? <span className="visually-hidden">done</span> : null)}
    </span>
  )
}

/** Lines to write on, each with what belongs there. */
export function WriteOn({ lines }: { lines: readonly { says: string; filled?: string; rows?: number }[] }) {
  return (
    <dl className={styles.write}>
      {lines.map(({ says, filled = '', rows = 1 }) => (
        <div key={says}>
          <dt>{says}</dt>
          <dd>
            {filled === ''
              ? // Nothing moves between them: the place is all there is to a line.
                ['a', 'b', 'c', 'd', 'e'].slice(0, rows).map((row) => <span key={row} className={styles.line} />)
              : filled}
          </dd>
        </div>
      ))}
    </dl>
  )
}

/** Numbered steps with a box each. */
export function Steps({
  steps,
}: {
  steps: readonly { id: number; text: string; state: string; note: string | null; by: string | null }[]
}) {
  return (
    <ol className={styles.steps}>
      {steps.map((step) => (
        <li key={step.id}>
          <Box done={step.state === 'done'} />
          <span>
            {step.text}
            {step.state === 'not-applicable' ? ` - does not apply: ${step.note ?? ''}` : ''}
            {step.by ? ` (${step.by})` : ''}
          </span>
        </li>
      ))}
    </ol>
  )
}
