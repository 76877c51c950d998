import Link from 'next/link'
import type { ReactNode } from 'react'
import { FreeState } from '@/app/_parts/free-state.tsx'
import { paths } from '@/app/paths.ts'
import { ORIGIN_SAYS, type RuleOrigin } from '@/lib/companion/rule-book.ts'
import type { NeedView } from '@/lib/db/job-read.ts'
import { positionsSay, type NeedRow as Row } from '@/lib/job/need-rows.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import type { FreeStock } from '@/lib/stock/free.ts'
import { Answer, AnswerApart, LeaveOut } from './answer.tsx'
import { Instead } from './instead.tsx'
import styles from './needed.module.css'
import { rowSays, STAGE_SAYS } from './row-says.ts'

export interface RowProps {
  row: Row<NeedView>
  jobId: number
  mayWork: boolean
  free: FreeStock | null
  /** Number of a kit that could stand in for it. */
  kit: string | null
  /** What else can be done with this row. */
  children?: ReactNode
}

function Head({ row }: { row: Row<NeedView> }) {
  const [need] = row.needs
  const items = [...new Set(row.needs.flatMap((one) => one.item ?? []))]
  return (
    <div className={styles.head}>
      {row.stage === null
        ? items.map((item) => (
            <span key={item} className="callout">
              {item}
            </span>
          ))
        : null}
      <span>
        <span className="strong">
          {row.stage
            ? STAGE_SAYS[row.stage]
            : need!.kind === 'act'
              ? need!.description
              : `${quantityFormat(row.quantity, need!.unit)} x ${need!.description}`}
          {row.stage === null && need!.kind === 'part' && row.positions.length > 0
            ? ` (${positionsSay(row.positions)})`
            : ''}
        </span>{' '}
        {need!.origin === 'suggestion' ? <span className={`strength ${row.strength}`}>{row.strength}</span> : null}{' '}
        {need!.origin === 'suggestion' && row.state !== 'open' ? <Answered row={row} /> : null}
      </span>
    </div>
  )
}

function Answered({ row }: { row: Row<NeedView> }) {
  const says = { open: '', accepted: '✓ accepted', declined: '✕ left out', 'in-kit': '✓ in the kit' }
  const done = row.stage !== null && row.state === 'accepted' ? '✓ will do' : says[row.state]
  return <span className="badge">{done}</span>
}

/** One row: what, on the shelf or when due, the answer, and folded away why. */
export function NeedRow({ row, jobId, mayWork, free, kit, children }: RowProps) {
  const [need] = row.needs
  const taken = row.needs.reduce((sum, one) => sum + one.taken, 0)
  const isOpen = mayWork && row.state === 'open' && need!.origin === 'suggestion'
  return (
    <li className={`${styles.row} ${row.state === 'declined' ? styles.declined : ''}`}>
      <Head row={row} />
      {row.stage ? (
        <ul className={styles.acts}>
          {row.needs.map((one) => (
            <li key={one.id}>
              {one.description} <Origin of={one.reasons.find((reason) => reason.origin)?.origin} />
            </li>
          ))}
        </ul>
      ) : null}
      {need!.part ? (
        <p className="small">
          <Link href={paths.part(need!.part.id)} className="number" prefetch={false}>
            {need!.part.number}
          </Link>{' '}
          {free ? <FreeState free={free} unit={need!.unit} bins={need!.bins.map((bin) => bin.bin)} /> : null}
          {taken > 0 ? `, ${quantityFormat(taken, need!.unit)} taken` : null}
          {kit ? (
            <>
              {'; '}
              <a href={`#kit-${kit}`}>in kit {kit}</a>
            </>
          ) : null}
        </p>
      ) : need!.kind !== 'act' ? (
        <p className="small">
          Not on file.{' '}
          {mayWork && row.state !== 'declined' ? (
            <Link
              href={paths.jobNeeded(jobId, { need: need!.id })}
              aria-label={`Choose what serves: ${need!.description}`}
            >
              Choose what serves
            </Link>
          ) : null}
        </p>
      ) : null}
      {row.state === 'open' && need!.kind !== 'act' ? <FirstReason row={row} /> : null}
      {need!.insteadOf ? <p className="small">{need!.insteadOf}</p> : null}
      {row.state === 'declined' && need!.declineReason ? (
        <p className="small">Left out: {need!.declineReason}</p>
      ) : null}
      <div className={styles.answer}>
        {mayWork && row.state !== 'in-kit' && need!.origin === 'suggestion' ? <Answer row={row} jobId={jobId} /> : null}
        {row.reasons.length > 0 || isOpen ? (
          <details className={styles.why}>
            <summary className="button quiet">
              {isOpen ? 'More' : 'Why'} <span aria-hidden="true">▾</span>
              <span className="visually-hidden">
                {isOpen ? ': why, or leave out ' : ': '}
                {rowSays(row)}
              </span>
            </summary>
            <Why row={row} />
            {isOpen && row.needs.length > 1 ? <AnswerApart row={row} jobId={jobId} /> : null}
            {isOpen ? <LeaveOut row={row} jobId={jobId} /> : null}
          </details>
        ) : null}
        {mayWork && row.state !== 'in-kit' ? <Instead row={row} jobId={jobId} /> : null}
        {children}
      </div>
    </li>
  )
}

/** Marks what is not asked for by the rules as they are shipped. */
function Origin({ of }: { of?: RuleOrigin | undefined }) {
  return of === undefined || of === 'shipped' ? null : <span className="badge">{ORIGIN_SAYS[of]}</span>
}

/** Why it is asked for, in the words of the strongest reason; the others and the sources fold away. */
function FirstReason({ row }: { row: Row<NeedView> }) {
  const first = row.reasons.find((reason) => reason.strength === row.strength) ?? row.reasons[0]
  return first ? <p className="small soft">{first.words}</p> : null
}

function Why({ row }: { row: Row<NeedView> }) {
  // The words of an act are its reason; saying them twice helps nobody.
  const reasons = row.reasons.filter((reason) => !row.needs.some((need) => need.description === reason.words))
  return (
    <div className="small stack tight">
      {reasons.length > 0 ? (
        <ul className="plain-list stack tight">
          {reasons.map((reason) => (
            <li key={reason.words}>
              {reasons.length > 1 ? <span className={`strength ${reason.strength}`}>{reason.strength}</span> : null}{' '}
              {reason.words} <Origin of={reason.origin} />
            </li>
          ))}
        </ul>
      ) : null}
      {row.sources.length > 0 ? (
        <p className="soft">
          {row.sources.length === 1 ? 'Source' : 'Sources'}: {row.sources.join('; ')}
        </p>
      ) : null}
    </div>
  )
}
