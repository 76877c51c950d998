import { notFound } from 'next/navigation'
import { found, idOf } from '@/app/_parts/found.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { cautionsFor } from '@/lib/companion/cautions.ts'
import { modelRead } from '@/lib/db/machine.ts'
import { type ServiceLineKind, type ServiceLineView, schedulesOf } from '@/lib/db/service-schedule.ts'
import { positionsSay } from '@/lib/job/need-rows.ts'
import { machineDrive } from '@/lib/machine/kind.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { everySays, toleranceSays } from '@/lib/service/due-text.ts'
import { CautionFrame } from '../../../../_parts/cautions.tsx'
import { ServiceLines } from '../../../../_parts/service-lines.tsx'
import { Part, Sheet, WriteOn } from '../../../../_parts/sheet.tsx'

export const metadata = { title: 'Blank service sheet' }

/** A model's service without a job: machine, hours and name are written in by hand. */
export default async function BlankServicePage({ params }: { params: Promise<{ model: string; schedule: string }> }) {
  await signedIn()
  const { model: modelParam, schedule: scheduleParam } = await params
  const model = await found(modelRead(idOf(modelParam)))
  const schedule = (await schedulesOf(model.id)).find((one) => one.id === idOf(scheduleParam))
  if (!schedule) notFound()
  const of = (kind: ServiceLineKind) =>
    schedule.lines
      .filter((line) => line.kind === kind)
      .map((line) => ({ id: line.id, text: line.text, says: whereSays(line), answer: null, note: null }))
  const cautions = cautionsFor({ drive: machineDrive(model.kind), classes: [] }, 'before')
  return (
    <Sheet
      title={schedule.name}
      back={{ href: paths.modelServices(model.id), says: 'Back to the services' }}
      foot={`${model.maker} ${model.name}, ${schedule.name}, machine:`}
      facts={[
        ['Model', `${model.maker} ${model.name}`],
        ['Comes', `${everySays(schedule)}${toleranceSays(schedule)}`],
      ]}
    >
      <WriteOn lines={[{ says: 'Machine, S/N' }, { says: 'Hours, date' }]} />
      <CautionFrame cautions={cautions} label="Cautions" />
      <Part title="Service">
        {schedule.lines.length === 0 ? <p>It asks for nothing yet.</p> : null}
        <ServiceLines title="Renewed in any case" answers={['renewed', 'does not apply']} lines={of('always')} />
        <ServiceLines
          title="Look at, renew on condition"
          answers={['good', 'renew', 'does not apply']}
          lines={of('on-condition')}
        />
        <ServiceLines title="Check, adjust, grease" answers={['done', 'does not apply']} lines={of('act')} />
      </Part>
      <Part title="Written up">
        <WriteOn lines={[{ says: 'Found besides', rows: 4 }, { says: 'Labour, min' }, { says: 'Name, date' }]} />
      </Part>
      <p className="small">Where the maker’s manual says otherwise, also of how often, it rules.</p>
    </Sheet>
  )
}

function whereSays(line: ServiceLineView): string {
  return [
    line.positions.length > 0 ? positionsSay(line.positions) : '',
    line.part && line.quantity !== null ? quantityFormat(line.quantity, line.part.unit) : '',
    line.part?.number ?? '',
    line.item !== null && line.figure ? `item ${line.item} of figure ${line.figure.number}` : '',
    line.chance ?? '',
  ]
    .filter((words) => words !== '')
    .join(', ')
}
