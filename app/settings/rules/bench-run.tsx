'use client'

import Link from 'next/link'
import { useRef, useState } from 'react'
import { paths } from '@/app/paths.ts'
import type { RuleDraft } from '@/lib/companion/rule-form.ts'
import type { BenchSlice } from '@/lib/db/rule-try.ts'
import { benchSum, type RuleCount, type RuleCounts } from '@/lib/job/rule-count.ts'
import { counted } from '@/lib/measure/counted.ts'
import { ask } from './ask.ts'
import { ChangeList } from './change-list.tsx'

const JOBS_SHOWN = 50

interface Props {
  /** The draft at the moment of asking; null runs the present rules only. */
  draftNow: () => RuleDraft | null
  from: string
  to: string
  /** Words of each rule by id. */
  names: Record<string, string>
}

/** Past jobs planned again: what each rule asked for, what was said to it, and what a draft would change. */
export function BenchRun({ draftNow, from, to, names }: Props) {
  const [period, setPeriod] = useState({ from, to })
  const [totals, setTotals] = useState<RuleCounts | null>(null)
  const [differences, setDifferences] = useState<BenchSlice['differences']>([])
  const [progress, setProgress] = useState({ done: 0, total: 0, isOn: false })
  const [fault, setFault] = useState('')
  const [isDraft, setIsDraft] = useState(false)
  const turn = useRef(0)

  async function run() {
    turn.current += 1
    const mine = turn.current
    const draft = draftNow()
    setIsDraft(draft !== null)
    setFault('')
    setDifferences([])
    let sum: RuleCounts = { jobs: 0, present: {}, draft: {} }
    let before: number | null = null
    setTotals(null)
    setProgress({ done: 0, total: 0, isOn: true })
    try {
      do {
        const slice: BenchSlice = await ask<BenchSlice>(paths.ruleBenchRun(), {
          draft,
          ...period,
          before,
          done: sum.jobs,
        })
        if (turn.current !== mine) return
        sum = benchSum(sum, slice)
        before = slice.before
        setTotals(sum)
        setDifferences((known) => [...known, ...slice.differences])
        setProgress({ done: sum.jobs, total: slice.total, isOn: before !== null })
      } while (before !== null)
    } catch (error) {
      if (turn.current !== mine) return
      setFault(error instanceof RangeError ? error.message : 'No answer. Is the signal weak?')
      setProgress((known) => ({ ...known, isOn: false }))
    }
  }

  return (
    <section className="stack" aria-labelledby="bench">
      <h2 id="bench">Past jobs</h2>
      <p className="soft">
        Closed jobs of the period, at most the newest 1,000, are planned again from their parts. Nothing is written.
      </p>
      <div className="row end">
        <div className="field">
          <label htmlFor="bench-from">From</label>
          <input
            id="bench-from"
            type="date"
            value={period.from}
            onChange={(event) => setPeriod({ ...period, from: event.target.value })}
          />
        </div>
        <div className="field">
          <label htmlFor="bench-to">To</label>
          <input
            id="bench-to"
            type="date"
            value={period.to}
            onChange={(event) => setPeriod({ ...period, to: event.target.value })}
          />
        </div>
        <button type="button" className="button" onClick={() => void run()}>
          Plan them again
        </button>
      </div>
      <div role="status">
        {fault ? <p className="alert">{fault}</p> : null}
        {progress.isOn ? (
          <p>
            <progress max={Math.max(1, progress.total)} value={progress.done} aria-label="Jobs planned again" />{' '}
            {progress.done} of {counted(progress.total, 'job')}
          </p>
        ) : totals && !fault ? (
          <p className="strong">
            {counted(totals.jobs, 'job')} planned again
            {isDraft
              ? `; ${differences.length === 0 ? 'nothing would change' : `${counted(differences.length, 'job')} would be asked for something else`}`
              : ''}
            .
          </p>
        ) : null}
      </div>
      {differences.length > 0 ? (
        <section className="stack tight" aria-labelledby="differences">
          <h3 id="differences">What would change</h3>
          {differences.length > JOBS_SHOWN ? <p className="soft">The newest {JOBS_SHOWN} of them.</p> : null}
          <ul className="plain-list stack">
            {differences.slice(0, JOBS_SHOWN).map((job) => (
              <li key={job.jobId} className="stack tight">
                <Link href={paths.job(job.jobId)} prefetch={false}>
                  Job {job.number}, {job.machine}
                </Link>
                <ChangeList changes={job.changes} />
              </li>
            ))}
          </ul>
        </section>
      ) : null}
      {/* The rules that would speak more or less often than now are read first; all of them are one press away. */}
      {totals && isDraft ? <Counts totals={totals} isDraft names={names} onlyMoved /> : null}
      {totals ? (
        <details open={!isDraft}>
          <summary className="button quiet">Every rule</summary>
          <Counts totals={totals} isDraft={isDraft} names={names} />
        </details>
      ) : null}
    </section>
  )
}

function firedSays(present: RuleCount | undefined, draft: RuleCount | undefined, isDraft: boolean): string {
  const before = present?.fired ?? 0
  const after = draft?.fired ?? 0
  if (!isDraft || before === after) return String(before)
  return `${before}, then ${after} (${after > before ? '+' : '-'}${Math.abs(after - before)})`
}

function Counts(props: { totals: RuleCounts; isDraft: boolean; names: Record<string, string>; onlyMoved?: boolean }) {
  const { totals, isDraft, names } = props
  const of = (id: string) => totals.present[id] ?? totals.draft[id]!
  const moved = (id: string) =>
    isDraft ? Math.abs((totals.draft[id]?.fired ?? 0) - (totals.present[id]?.fired ?? 0)) : 0
  const all = [...new Set([...Object.keys(totals.present), ...Object.keys(totals.draft)])]
  const ids = props.onlyMoved ? all.filter((id) => moved(id) > 0) : all
  if (ids.length === 0) return null
  ids.sort((a, b) => moved(b) - moved(a) || of(b).fired - of(a).fired || (a < b ? -1 : 1))
  return (
    <table className="parts fold">
      <caption>{props.onlyMoved ? 'Rules that speak more or less often' : 'By rule'}</caption>
      <thead>
        <tr>
          <th>Rule</th>
          <th className="right">Asked</th>
          <th className="right">Accepted</th>
          <th className="right">Left out</th>
          <th className="right">Not answered</th>
          <th className="right">Not asked then</th>
        </tr>
      </thead>
      <tbody>
        {ids.map((id) => {
          const count = of(id)
          const reasons = Object.entries(count.reasons).sort((a, b) => b[1] - a[1])
          return (
            <tr key={id}>
              <td className="wide">
                {names[id] ?? 'The rule as it is filled in'}
                {reasons.length > 0 ? (
                  <span className="small soft">
                    {' '}
                    Left out because:{' '}
                    {reasons
                      .slice(0, 3)
                      .map(([why, times]) => `${why} (${times})`)
                      .join('; ')}
                  </span>
                ) : null}
              </td>
              <td className="right wide" data-label="Asked">
                {firedSays(totals.present[id], totals.draft[id], isDraft)}
              </td>
              <td className="right wide" data-label="Accepted">
                {count.accepted}
              </td>
              <td className="right wide" data-label="Left out">
                {count.declined}
              </td>
              <td className="right wide" data-label="Not answered">
                {count.left}
              </td>
              <td className="right wide" data-label="Not asked then">
                {count.unasked}
              </td>
            </tr>
          )
        })}
      </tbody>
    </table>
  )
}
