import { partNumberKey } from '../catalogue/part-number.ts'
import type { CheckedRow } from '../exchange/check.ts'
import { meterFault, meterLastSays } from '../machine/meter.ts'
import type { Tx } from './client.ts'
import { modelsNamed } from './exchange-models.ts'
import { asked, type ExchangePlan, isFirst, type Planner, put, type Reader, Refused } from './exchange-rows.ts'

interface KnownMachine {
  id: number
  fleetKey: string
  modelId: number
  name: string
  serialNumber: string | null
  year: number | null
  hourTenths: number
  /** When the meter was last read. */
  readAt: Date | null
}

type Raw = {
  [N in keyof KnownMachine]: KnownMachine[N] extends number | null
    ? KnownMachine[N] | bigint
    : N extends 'readAt'
      ? Date | string | null
      : KnownMachine[N]
}

async function machinesKnown(reader: Reader, keys: Iterable<string>): Promise<Map<string, KnownMachine>> {
  const rows = await asked(
    keys,
    (json) => (reader as Tx).$queryRaw<Raw[]>`
      SELECT m."id", m."fleetKey", m."modelId", m."name", m."serialNumber", m."year", m."hourTenths",
        (SELECT max(r."at") FROM "HourReading" r WHERE r."machineId" = m."id") AS "readAt"
      FROM json_each(${json}) k JOIN "Machine" m ON m."fleetKey" = k.value`,
  )
  return new Map(
    rows.map((row) => [
      row.fleetKey,
      {
        ...row,
        id: Number(row.id),
        modelId: Number(row.modelId),
        year: row.year === null ? null : Number(row.year),
        hourTenths: Number(row.hourTenths),
        readAt: row.readAt === null ? null : new Date(row.readAt),
      },
    ]),
  )
}

const keyOf = (row: CheckedRow<'machines'>) => partNumberKey(row.values.fleet_number)

/** Machines by fleet number. A known machine keeps its model; its meter only goes forward. */
export const machinesPlan: Planner<'machines'> = async (reader, rows, context): Promise<ExchangePlan> => {
  const refused = new Refused()
  const [models, before] = [await modelsNamed(reader), await machinesKnown(reader, new Set(rows.map(keyOf)))]
  const seen = new Map<string, number>()
  const counts = { new: 0, changed: 0, same: 0 }
  const fresh: { model: string; row: unknown[] }[] = []
  const changes: unknown[][] = []
  const readings: [fleetKey: string, hourTenths: number][] = []
  for (const row of rows) {
    const { values } = row
    const key = keyOf(row)
    if (!isFirst(seen, key, row, refused, 'machine')) continue
    const hourTenths = values.hours === undefined ? undefined : Math.round(values.hours * 10)
    const machine = before.get(key)
    if (!machine) {
      if (values.name === undefined) refused.at(row, 'name', 'is empty; a machine that is new must have one')
      const model = models.want(values.model_maker, values.model, values.model_kind)
      counts.new += 1
      fresh.push({
        model,
        row: [
          key,
          values.fleet_number,
          values.name ?? '',
          values.serial_number ?? null,
          values.year ?? null,
          hourTenths ?? 0,
        ],
      })
      if (hourTenths !== undefined && hourTenths > 0) readings.push([key, hourTenths])
      continue
    }
    if (models.id(values.model_maker, values.model) !== machine.modelId)
      refused.at(
        row,
        'model',
        `${values.fleet_number} is a machine of another model; a machine does not change its model`,
      )
    const last = { hourTenths: machine.hourTenths, at: machine.readAt }
    const fault = hourTenths === undefined ? null : meterFault(last, hourTenths, context.write.now)
    if (fault === 'below') refused.at(row, 'hours', `is lower than the last reading, ${meterLastSays(last)}`)
    if (fault === 'jump')
      refused.at(row, 'hours', `is more than the machine can have run since the last reading, ${meterLastSays(last)}`)
    const after = {
      name: values.name ?? machine.name,
      serialNumber: values.serial_number ?? machine.serialNumber,
      year: values.year ?? machine.year,
      hourTenths: Math.max(hourTenths ?? 0, machine.hourTenths),
    }
    const isChanged = (Object.keys(after) as (keyof typeof after)[]).some((name) => after[name] !== machine[name])
    counts[isChanged ? 'changed' : 'same'] += 1
    if (!isChanged) continue
    changes.push([machine.id, ...Object.values(after)])
    if (after.hourTenths > machine.hourTenths) readings.push([key, after.hourTenths])
  }
  return {
    refusals: refused.list,
    counts,
    made: { models: models.wanted() },
    async write(tx) {
      const ids = await models.make(tx)
      await put(
        fresh,
        ({ model, row }) => [ids.get(model)!, ...row],
        (json) => tx.$executeRaw`
          INSERT INTO "Machine" ("modelId", "fleetKey", "fleetNumber", "name", "serialNumber", "year", "hourTenths")
          SELECT value->>0, value->>1, value->>2, value->>3, value->>4, value->>5, value->>6 FROM json_each(${json})`,
      )
      await put(
        changes,
        (row) => row,
        (json) => tx.$executeRaw`
          UPDATE "Machine" SET "name" = j.value->>1, "serialNumber" = j.value->>2, "year" = j.value->>3,
            "hourTenths" = j.value->>4 FROM json_each(${json}) j WHERE "Machine"."id" = j.value->>0`,
      )
      await put(
        readings,
        (row) => row,
        (json) => tx.$executeRaw`
          INSERT INTO "HourReading" ("machineId", "hourTenths", "at", "personId")
          SELECT m."id", j.value->>1, ${context.write.now}, ${context.write.personId}
          FROM json_each(${json}) j JOIN "Machine" m ON m."fleetKey" = j.value->>0`,
      )
    },
  }
}
