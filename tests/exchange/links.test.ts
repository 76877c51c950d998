import { describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { exchangeImport } from '../../lib/db/exchange.ts'
import { exchangeExport } from '../../lib/db/exchange-export.ts'
import type { Kind } from '../../lib/exchange/columns.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes, collected } from './files.ts'

useWorkshop()

const bring = (kind: Kind, text: string) =>
  exchangeImport(asWriter('person-wilf'), { kind, bytes: bytes(text), file: 'list.csv' })
const taken = async (kind: Kind) => new TextDecoder().decode(await collected(exchangeExport(kind, 'csv')))
async function faults(kind: Kind, text: string): Promise<readonly string[]> {
  const before = await taken(kind)
  try {
    await bring(kind, text)
  } catch (error) {
    if (!isRefusal(error)) throw error
    expect(await taken(kind), 'a refused file changes nothing').toBe(before)
    return error.faults
  }
  return []
}
async function again(kind: Kind, same: number) {
  const out = await taken(kind)
  expect((await bring(kind, out)).counts).toEqual({ new: 0, changed: 0, same })
  expect(await taken(kind)).toBe(out)
}

describe('links between parts', () => {
  it('supersessions, kits and alternatives come in, come out and are found as they were; loops are named with their row', async () => {
    await aPerson('Wilf')
    for (const number of ['L-1', 'L-2', 'L-3', 'L-4']) await aPart({ number })
    await bring('supersessions', 'old_number,new_number,ratio,interchange\nL-1,L-2,2,both-ways\nL-2,L-3,,\n')
    expect(await faults('supersessions', 'old_number,new_number\nL-3,L-4\nL-4,L-1\nL-9,L-1\n')).toEqual([
      'row 3, new_number: would make a loop: L-4 -> L-1 -> L-2 -> L-3 -> L-4',
      expect.stringMatching(/^row 4, old_number: no part has the number L-9/),
    ])
    await again('supersessions', 2)
    await bring('kits', 'kit,content,quantity\nL-1,L-2,3\nL-2,L-3,1\n')
    expect(await faults('kits', 'kit,content,quantity\nL-3,L-1,1\nL-1,L-4,0\n')).toEqual([
      'row 2, content_number: would make a loop: L-3 -> L-1 -> L-2 -> L-3',
      'row 3, quantity: must be above 0',
    ])
    await again('kits', 2)
    const head = 'number,alternative,both_ways,reason,approved_by,approved_on\n'
    await bring('alternatives', `${head}L-1,L-4,yes,same size,wilf,2026-02-03\n`)
    expect(
      await faults('alternatives', `${head}L-2,L-4,no,same,Nobody,2026-02-03\nL-4,L-1,no,same,Wilf,2026-02-03\n`),
    ).toEqual([
      'row 2, approved_by: nobody here is called Nobody',
      'row 3, alternative_number: the two are approved the other way round already',
    ])
    await aPerson('Ada Quill')
    expect(await faults('alternatives', `${head}L-2,L-4,no,same,ada quill,2026-02-03\n`)).toEqual([
      'row 2, approved_by: ada quill must bring this row in; or look at the two parts and put your own name there',
    ])
    expect(await faults('alternatives', `${head}L-1,L-4,yes,other,Wilf,2026-02-03\n`)).toEqual([
      expect.stringMatching(/^row 2: differs from what was approved/),
    ])
    await again('alternatives', 1)
    expect(await database().alternative.count()).toBe(1)
  })
})
