import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { MeterField } from '@/app/_parts/meter-field.tsx'
import { queryText } from '@/app/_parts/query.ts'
import { ScanMachine } from '@/app/_parts/scan/scan-machine.tsx'
import { SelectField, TextField, Tick } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { TargetFields } from '@/app/models/[model]/figures/[figure]/target-fields.tsx'
import { paths } from '@/app/paths.ts'
import { figureRead } from '@/lib/db/figure.ts'
import { machinesList } from '@/lib/db/machine.ts'
import { targetPlaces } from '@/lib/job/target-places.ts'
import { meterLastSays } from '@/lib/machine/meter.ts'
import { directionsRead, positionsMeant } from '@/lib/search/position.ts'
import { openJob } from './actions.ts'

export const metadata = { title: 'Log a repair' }

type Query = {
  machine?: string
  model?: string
  figure?: string
  line?: string
  side?: string
  complaint?: string | string[]
}

export default async function NewJobPage({ searchParams }: { searchParams: Promise<Query> }) {
  await signedInWith('job.open')
  const query = await searchParams
  const all = await machinesList()
  const machine = query.machine ? all.find((one) => one.id === idOf(query.machine!)) : undefined
  const figure = query.figure
    ? await found(
        figureRead(idOf(query.figure), {
          modelId: query.model ? idOf(query.model) : undefined,
          serialNumber: machine?.serialNumber ?? null,
        }),
      )
    : null
  const line = figure?.lines.find((one) => String(one.lineId) === query.line) ?? null
  const machines = figure ? all.filter((one) => one.model.id === figure.model.id) : all
  return (
    <main className="page narrow stack" id="page">
      <h1>Log a repair</h1>
      {line && figure ? (
        <p className="sheet">
          <span className="callout">{line.item}</span> {line.description}{' '}
          <span className="number">{line.partNumber}</span>{' '}
          <span className="soft">
            figure {figure.number} {figure.title}
          </span>
        </p>
      ) : null}
      {machines.length === 0 ? (
        <p className="empty">
          There is no machine of this model in the fleet.{' '}
          {figure ? <Link href={paths.model(figure.model.id)}>Enter one on its parts book</Link> : null}
        </p>
      ) : (
        <ActionForm
          action={openJob}
          formKey={freshKey()}
          submit="Open the job"
          submitClassName="button primary big"
          hidden={line && figure ? { figureId: figure.id, lineId: line.lineId } : {}}
        >
          <ScanMachine>
            <SelectField name="machineId" label="Machine" defaultValue={String((machine ?? machines[0]!).id)}>
              {machines.map((one) => (
                <option key={one.id} value={one.id}>
                  {one.fleetNumber} {one.name}
                </option>
              ))}
            </SelectField>
          </ScanMachine>
          <TextField
            name="complaint"
            label="Complaint"
            defaultValue={queryText(query.complaint)}
            hint="What is wrong, as the driver told it: shakes at full revs, pulls to the left."
          />
          {line && figure ? (
            <TargetFields
              positions={figure.positions}
              meant={positionsMeant(figure.positions, directionsRead(query.side))}
              stations={line.facts.stations ?? null}
              ends={targetPlaces(figure.positions, line.facts).ends}
              perAssembly={line.quantity}
              unit={line.unit}
            />
          ) : null}
          <MeterField
            label="Hour meter"
            hint={
              machine
                ? `Last reading: ${meterLastSays({ hourTenths: machine.hourTenths, at: machine.readAt })}`
                : 'As the meter shows it; leave empty if nobody looked.'
            }
          />
          <SelectField name="kind" label="Kind" defaultValue="repair">
            <option value="repair">Repair: something failed</option>
            <option value="service">Service: it was due</option>
          </SelectField>
          <Tick name="unsafe" label="Unsafe: nobody may use the machine until somebody releases it to work" />
        </ActionForm>
      )}
    </main>
  )
}
