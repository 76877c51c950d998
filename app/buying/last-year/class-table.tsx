import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { partClassSays } from '@/lib/catalogue/part-class.ts'
import { yearSays } from '@/lib/demand/past-year.ts'
import { groupChoose } from '@/lib/demand/past-year-choice.ts'
import type { PastYear, YearGroup } from '@/lib/demand/past-year-result.ts'
import { wayName } from '@/lib/demand/past-year-words.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import styles from './last-year.module.css'
import type { YearQuestion } from './question.ts'
import { share } from './share.ts'

/** The way that each class of parts would have done best by, and why that one. */
export function ClassTable({ year, question, currency }: { year: PastYear; question: YearQuestion; currency: string }) {
  const { kind, service } = question
  const money = (value: number) => moneyFormat(Math.round(value), currency)
  const why = (group: YearGroup): { way: string; says: string } => {
    const choice = groupChoose(group, kind, service)
    if (choice.why === 'too-few') return { way: 'as all parts', says: 'too little was asked for to tell' }
    if (choice.why === 'none-gives-it') return { way: 'none', says: `no way that was tried gave ${share(service)}` }
    const next = choice.next
      ? `the next best, ${wayName(choice.next.name)}, ${money(choice.next.value)}`
      : `no other way gave ${share(service)}`
    return { way: wayName(choice.name), says: `needs ${money(choice.value)} for it; ${next}` }
  }
  return (
    <section className="stack tight" aria-labelledby="classes">
      <h2 id="classes">Least stock for {share(service)}, class by class</h2>
      <table className="parts fold">
        <thead>
          <tr>
            <th scope="col">Class</th>
            <th scope="col" className="right">
              Asked for
            </th>
            <th scope="col" className="right">
              Stock as it was
            </th>
            <th scope="col">Way</th>
            <th scope="col">Why</th>
          </tr>
        </thead>
        <tbody>
          {year.groups.map((group) => {
            const { way, says } = why(group)
            const name = group.partClass === null ? 'All parts' : partClassSays(group.partClass)
            return (
              <tr key={name}>
                <td className="wide">
                  <Link
                    href={paths.lastYear({
                      kind,
                      service: Math.round(service * 100),
                      class: group.partClass ?? undefined,
                    })}
                    prefetch={false}
                  >
                    {name}
                  </Link>
                </td>
                <td className="right wide" data-label="Asked for">
                  {Math.round(group.real.wanted)}
                </td>
                <td className={`right wide ${styles.figure}`} data-label="As it was">
                  {money(yearSays(group.real).value)}
                </td>
                <td className="wide">{way}</td>
                <td className="wide">{says}</td>
              </tr>
            )
          })}
        </tbody>
      </table>
    </section>
  )
}
