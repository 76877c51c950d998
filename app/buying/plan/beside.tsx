import { moneyFormat } from '@/lib/measure/money.ts'
import type { KeptPlan } from '@/lib/replenish/plan-kept.ts'
import styles from './plan.module.css'

const BREAKS = {
  budget: 'it goes over the budget',
  minimum: 'an order stays below the supplier’s minimum',
  open: 'it leaves something open',
} as const

/** What is no part. */
const WORDS: Record<string, string> = { carriage: 'Carriage', late: 'Coming late' }

/** The plan beside the simple rule: line by line what each buys, what is saved and why. */
export function BesideSimple({ plan }: { plan: KeptPlan }) {
  const { simple, currency, costMinor } = plan.answer
  const money = (minor: number) => moneyFormat(minor, currency)
  return (
    <section className="sheet stack" aria-labelledby="beside">
      <h2 id="beside">Beside the simple rule</h2>
      <p>
        The simple rule buys each part by itself, from its preferred supplier, as much as is missing:{' '}
        <span className="strong">{money(simple.costMinor)}</span>, carriage and lateness included. The plan:{' '}
        <span className="strong">{money(costMinor)}</span>.{' '}
        {simple.breaks.length > 0
          ? `The simple rule could not be ordered so: ${simple.breaks.map((one) => BREAKS[one]).join('; ')}.`
          : simple.savedMinor > 0
            ? `Saved: ${money(simple.savedMinor)}.`
            : 'Nothing is to be saved beyond it.'}
      </p>
      {simple.lines.length === 0 ? (
        <p className="soft">Both buy the same.</p>
      ) : (
        <table className="parts fold">
          <caption className="visually-hidden">Where the two differ, what saves most first</caption>
          <thead>
            <tr>
              <th scope="col">What</th>
              <th scope="col">Simple rule</th>
              <th scope="col">Plan</th>
              <th scope="col" className="right">
                Saved
              </th>
              <th scope="col">Why</th>
            </tr>
          </thead>
          <tbody>
            {simple.lines.map((line) => (
              <tr key={line.what}>
                <td className={`wide strong ${styles.what}`}>{WORDS[line.what] ?? line.what}</td>
                <td className="wide" data-label="Simple rule">
                  {line.simple} <span className={styles.money}>{money(line.simpleMinor)}</span>
                </td>
                <td className="wide" data-label="Plan">
                  {line.plan} <span className={styles.money}>{money(line.planMinor)}</span>
                </td>
                <td className={`right wide ${styles.money}`} data-label="Saved">
                  {money(line.savedMinor)}
                </td>
                <td className="wide small">{line.why}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  )
}
