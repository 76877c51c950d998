import { describe, expect, test } from 'vitest'
import { partNumberKey } from '../../lib/catalogue/part-number.ts'
import { database } from '../../lib/db/client.ts'
import { SERIAL_NUMBER_KEY, SUPPLIER_NUMBER_KEY } from '../../lib/db/number-key.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { searchFaults } from '../../lib/db/verify-search.ts'
import { indexesOf, migrationsRead } from '../../prisma/engine.ts'
import { migrateDeploy, searchRebuild } from '../../prisma/migrate.ts'
import { aMachine, aPart } from '../support/builders.ts'
import { useWorkshop } from '../support/database.ts'

const workshop = useWorkshop()

describe('the indexes of words', () => {
  test('follow every part, machine, model, figure and job that is entered, changed or taken out', async () => {
    const partId = await aPart({ description: 'Idler bracket' })
    const machineId = await aMachine('Q-9', 'TB 1500')
    await inTransaction(async (tx) => {
      const job = await tx.job.create({
        data: { number: 1, machineId, complaint: 'Rumbles', openedAt: new Date(), openedById: 'nobody' },
      })
      await tx.job.update({ where: { id: job.id }, data: { cause: 'Bearing dry', correction: 'Packed' } })
      await tx.part.update({ where: { id: partId }, data: { description: 'Idler bracket, cast' } })
      await tx.machine.update({ where: { id: machineId }, data: { name: 'Tipping trailer' } })
      const gone = await tx.part.create({
        data: { maker: 'X', number: 'Y', makerKey: 'x', numberKey: 'y', description: 'Gone', searchText: 'y gone' },
      })
      await tx.part.delete({ where: { id: gone.id } })
    })
    expect(await searchFaults()).toEqual([])
    const words = async (word: string) =>
      (await database().$queryRaw<unknown[]>`SELECT rowid FROM part_words WHERE part_words MATCH ${word}`).length
    expect(await words('cast')).toBe(1)
    expect(await words('gone')).toBe(0)
  })

  test('a word that went astray is told, and making the indexes anew puts it right', async () => {
    await database()
      .$executeRaw`INSERT INTO part_words(rowid, description, number, maker) VALUES (900001, 'phantom', 'P', 'P')`
    expect(await searchFaults()).toEqual([expect.stringMatching(/part_words.*npm run migrate search/)])
    await searchRebuild(workshop.databaseFile)
    expect(await searchFaults()).toEqual([])
  })

  test('a deploy puts back an index on an expression that a table rebuild dropped', async () => {
    expect([...indexesOf(migrationsRead()).keys()].sort()).toEqual([
      'machine_serial_number_key',
      'offer_supplier_number_key',
      'part_description_order',
    ])
    await database().$executeRaw`DROP INDEX part_description_order`
    await migrateDeploy(workshop.databaseFile, { journal: 'delete' })
    const there = await database().$queryRaw<
      unknown[]
    >`SELECT name FROM sqlite_master WHERE name = 'part_description_order'`
    expect(there).toHaveLength(1)
  })

  // A table rebuild (new table, copy, drop, rename) fails where a trigger of another table reads the one that is dropped.
  test('a machine table can be made anew by a later migration', async () => {
    const [row] = await database().$queryRaw<{ sql: string }[]>`SELECT sql FROM sqlite_master WHERE name = 'Machine'`
    await database().$executeRawUnsafe(row!.sql.replace('"Machine"', '"new_Machine"'))
    await database().$executeRaw`PRAGMA foreign_keys = OFF`
    await database().$executeRaw`INSERT INTO "new_Machine" SELECT * FROM "Machine"`
    await database().$executeRaw`DROP TABLE "Machine"`
    await database().$executeRaw`ALTER TABLE "new_Machine" RENAME TO "Machine"`
    await migrateDeploy(workshop.databaseFile, { journal: 'delete' })
    await aMachine('Q-10')
    expect(await searchFaults()).toEqual([])
  })
})

describe('numbers kept as printed', () => {
  test.each(['AB-12.3', 'ab 12/3', 'AB_12,3', '(AB):12*3', '0070-QX', '6205-2RS'])(
    '%s has the same key in the database as everywhere',
    async (printed) => {
      const rows = await database().$queryRaw<{ key: string }[]>`
        SELECT ${SUPPLIER_NUMBER_KEY} AS key FROM (SELECT ${printed} AS "supplierNumber")`
      expect(rows[0]?.key).toBe(partNumberKey(printed))
    },
  )

  test('are found through their index, not by reading every row', async () => {
    const plan = async (rows: Promise<{ detail: string }[]>) => (await rows).map(({ detail }) => detail).join('; ')
    expect(
      await plan(
        database().$queryRaw`EXPLAIN QUERY PLAN SELECT "partId" FROM "Offer" WHERE ${SUPPLIER_NUMBER_KEY} = ${'qx12'}`,
      ),
    ).toContain('offer_supplier_number_key')
    expect(
      await plan(
        database().$queryRaw`EXPLAIN QUERY PLAN SELECT "id" FROM "Machine" WHERE ${SERIAL_NUMBER_KEY} = ${'tb1500'}`,
      ),
    ).toContain('machine_serial_number_key')
    expect(
      await plan(
        database()
          .$queryRaw`EXPLAIN QUERY PLAN SELECT "id" FROM "Part" WHERE lower("description") >= ${'pin'} ORDER BY lower("description")`,
      ),
    ).toContain('part_description_order')
  })
})
