import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { exportCommand, importCommand } from '../../lib/cli/exchange.ts'
import { database } from '../../lib/db/client.ts'
import { useWorkshop } from '../support/database.ts'

const workshop = useWorkshop()

function file(name: string, text: string): string {
  const path = join(workshop.folder, name)
  writeFileSync(path, text)
  return path
}

describe('import and export from the command line', () => {
  it('a rehearsal writes nothing and answers 1 when a row stands in the way; the refused rows go where they are wanted', async () => {
    const path = file('parts.csv', 'Who,number,description,cost\nOakmoor,CL-1,Nut,1\nOakmoor,CL-2,Bolt,cheap\n')
    const refused = join(workshop.folder, 'refused.csv')
    const answer = await importCommand('parts', path, { dryRun: true, map: ['maker=Who'], refused })
    expect(answer).toMatchObject({ status: 1, json: { dryRun: true, refusedRows: 1, counts: { new: 1 } } })
    expect(answer.text).toContain('row 3, cost: "cheap" is no amount')
    expect(readFileSync(refused, 'utf8')).toContain('Oakmoor,CL-2,Bolt,cheap,')
    await expect(importCommand('parts', path, { map: ['maker=Who'] })).rejects.toThrow('exchange/refused')
    expect(await database().part.count()).toBe(0)
  })

  it('what comes in goes out again, in the format that the name of the file says', async () => {
    await importCommand('parts', file('good.csv', 'maker,number,description\nOakmoor,0012,=Nut\n'), {})
    const path = join(workshop.folder, 'out.json')
    expect(await exportCommand('parts', path, {})).toMatchObject({ status: 0, json: { kind: 'parts' } })
    expect(JSON.parse(readFileSync(path, 'utf8'))).toMatchObject([{ number: '0012', description: '=Nut', cost: null }])
    const csv = join(workshop.folder, 'out.txt')
    await exportCommand('parts', csv, { format: 'csv' })
    expect(readFileSync(csv, 'utf8')).toContain("Oakmoor,0012,'=Nut,")
    await expect(exportCommand('parts', join(workshop.folder, 'out.doc'), {})).rejects.toThrow(
      'none of csv, xlsx, json',
    )
    expect(existsSync(join(workshop.folder, 'out.doc'))).toBe(false)
  })

  it('the right rows of a price list come in without the wrong ones where that was asked for, and 1 is answered', async () => {
    await importCommand(
      'suppliers',
      file('who.csv', 'supplier,lead_time_days,maker,number,price\nMarlpit,5,Oakmoor,0012,2\n'),
      {},
    )
    const path = file(
      'prices.csv',
      'supplier,list,valid_from,number,from_quantity,price\nMarlpit,Winter,2026-11-01,0012,1,1.80\nMarlpit,Winter,2026-11-01,0013,1,-2\n',
    )
    const refused = join(workshop.folder, 'left.csv')
    await expect(importCommand('prices', path, {})).rejects.toThrow('exchange/refused')
    expect(await database().listPrice.count()).toBe(0)
    const answer = await importCommand('prices', path, { rightRows: true, refused })
    expect(answer).toMatchObject({ status: 1, json: { left: 1, counts: { new: 1 } } })
    expect(answer.text).toContain('row 3, price: "-2" is below zero')
    expect(readFileSync(refused, 'utf8')).toContain('0013')
    expect(await database().listPrice.findMany()).toMatchObject([{ priceMinor: 180 }])
    const again = await importCommand(
      'prices',
      file('mended.csv', readFileSync(path, 'utf8').replace(/Marlpit,Winter,2026-11-01,0013.*/, '')),
      {
        rightRows: true,
      },
    )
    expect(again).toMatchObject({ status: 0, json: { counts: { same: 1 } } })
  })

  it('a file that is not there and a match that is none are told', async () => {
    await expect(importCommand('parts', join(workshop.folder, 'nowhere.csv'), {})).rejects.toThrow(
      'there is no such file',
    )
    await expect(importCommand('parts', file('a.csv', 'a\n1\n'), { map: ['maker'] })).rejects.toThrow(
      'is not column=header',
    )
  })
})
