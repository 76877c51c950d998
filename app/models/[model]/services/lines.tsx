import Link from 'next/link'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { ScheduleView, ServiceLineKind, ServiceLineView } from '@/lib/db/service-schedule.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { removeLine } from './actions.ts'

const KINDS: Record<ServiceLineKind, string> = {
  always: 'Renewed always',
  'on-condition': 'Looked at, renewed on condition',
  act: 'Check, adjust, grease',
}

/** What a service asks for, in the three kinds of it. */
export function Lines(props: { schedule: ScheduleView; modelId: number; mayPlan: boolean }) {
  const { schedule } = props
  if (schedule.lines.length === 0)
    return <p className="empty">It asks for nothing yet. Put on what it renews, looks at and does.</p>
  return (Object.keys(KINDS) as ServiceLineKind[]).map((kind) => {
    const lines = schedule.lines.filter((line) => line.kind === kind)
    if (lines.length === 0) return null
    return (
      <table key={kind} className="parts fold">
        <caption>{KINDS[kind]}</caption>
        <thead className="visually-hidden">
          <tr>
            <th scope="col">What</th>
            <th scope="col">How many, how often renewed</th>
            <th scope="col">Take off</th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <tr key={line.id}>
              <td className="wide">
                <What line={line} modelId={props.modelId} />
              </td>
              <td className="soft">
                {line.part && line.quantity !== null ? quantityFormat(line.quantity, line.part.unit) : null}
                {line.chance}
              </td>
              <td>
                {props.mayPlan ? (
                  <ActionForm
                    action={removeLine}
                    formKey={freshKey()}
                    className=""
                    submit={
                      <>
                        Take off<span className="visually-hidden">: {line.text}</span>
                      </>
                    }
                    submitClassName="button quiet"
                    hidden={{ scheduleId: schedule.id, lineId: line.id }}
                  />
                ) : null}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    )
  })
}

function What({ line, modelId }: { line: ServiceLineView; modelId: number }) {
  if (line.figure && line.item !== null)
    return (
      <>
        <span className="callout">{line.item}</span>{' '}
        <Link href={paths.figure(modelId, line.figure.id, { item: line.item })} prefetch={false}>
          {line.text}
        </Link>
        <br />
        <span className="soft small">
          figure {line.figure.number} {line.figure.title}
        </span>
      </>
    )
  if (line.part)
    return (
      <>
        <Link href={paths.part(line.part.id)} className="number" prefetch={false}>
          {line.part.number}
        </Link>{' '}
        {line.text}
        {line.successor ? (
          <>
            <br />
            <span className="small">
              ▲ superseded by{' '}
              <Link href={paths.part(line.successor.id)} className="number" prefetch={false}>
                {line.successor.number}
              </Link>
              , which is taken in its place: put the new number on, then take this one off
            </span>
          </>
        ) : null}
      </>
    )
  return line.text
}
