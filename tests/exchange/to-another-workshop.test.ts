import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { databaseClose } from '../../lib/db/client.ts'
import { exchangeImport } from '../../lib/db/exchange.ts'
import { exchangeExport } from '../../lib/db/exchange-export.ts'
import { type Kind as AnyKind, columnsOf, KIND_NAMES } from '../../lib/exchange/columns.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { migrateDeploy } from '../../prisma/migrate.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { bytes, collected } from './files.ts'

/** A count sheet names bins and movements of one workshop, and stays there. */
type Kind = Exclude<AnyKind, 'counts'>
const KINDS_OVER = KIND_NAMES.filter((kind): kind is Kind => kind !== 'counts')

useWorkshop()
const other = mkdtempSync(join(tmpdir(), 'cotterbook-other-'))

/** One workshop's lists: every column is filled somewhere, with ranges, sides, kits, supersession and alternatives. */
const LISTS: Record<Kind, string> = {
  parts: `maker;number;description;class;unit;criticality;cost;reorder_point;order_up_to;level_reason;discontinued_on;discontinued_note;split_pin_mm;length_mm;bore_mm;outside_mm;width_mm;thread;property_class;grade
Tarn;RT-1;Seal, blue;bush;each;vital;2.10;2;6;Two machines in harvest;;;;;25.4;52;7;;;
Tarn;RT-2;Oil;;litre;;1.05;0.25;1.5;;;;;;;;;;;EP2
Tarn;RT-3;Old seal;bush;each;;;;;;2026-03-01;Bulletin of the maker;;;;;;;;
Oakmoor;RT-3;Pin of another maker;split-pin;each;desirable;;;;;;;5;50;;;;;;
Tarn;RT-4;Seal kit;;each;;;;;;;;;;;;;M10;8.8;
`,
  'parts-lists': `model_maker;model;model_kind;figure;figure_title;item;maker;number;description;quantity;quantity_note;indenture;attaches;order_item;serial_from;serial_to;serials;side;note
Tarn;X9;flail mower;9-1;Hub;1;Tarn;RT-1;Seal;1;;1;;;;;;;
Tarn;X9;;9-1;;2;Tarn;RT-2;Oil;0.125;AR;2;;;;;;;to the mark
Tarn;X9;;9-1;;3;Tarn;RT-3;Old seal;1;;1;1;4;A100;A499;;LH;
Tarn;X9;;9-1;;3;Tarn;RT-1;Seal;2;;1;1;;A500;;;RH;
Tarn;X9;;9-1;;4;Tarn;RT-4;Seal kit;1;;1;;;;;A1-A20, A50-A70;;
`,
  supersessions: `old_maker;old_number;new_maker;new_number;ratio;interchange;note\nTarn;RT-3;Tarn;RT-1;2;both-ways;Bulletin of spring\n`,
  kits: `kit_maker;kit_number;content_maker;content_number;quantity\nTarn;RT-4;Tarn;RT-1;3\nTarn;RT-4;Tarn;RT-2;0.5\n`,
  alternatives: `maker;number;alternative_maker;alternative_number;both_ways;reason;approved_by;approved_on\nTarn;RT-1;Tarn;RT-4;yes;same size;Wilf;2026-02-03\n`,
  stock: `store;store_kind;bin;walk_order;maker;number;batch;use_by;quantity\nBarn;building;A-1;1;Tarn;RT-1;L23;2027-03-31;5\nVan;van;V-1;2;Tarn;RT-2;;;1.25\nBarn;building;A-1;1;Oakmoor;RT-3;;;7\n`,
  suppliers: `supplier;contact;email;our_number;order_days;lead_time_days;minimum_order;carriage;carriage_paid_from;maker;number;supplier_number;pack;minimum;price;preferred;deposit;return_days;note;discount;currency\nHarl;At the yard;yard@harl.example;Q-17;1 4;4;20;6.50;75;Tarn;RT-1;H-0012;5;10;2.10;yes;1.25;45;Van on Fridays;12.5;EUR\nPenwarne;;;;;9;;;;;;;;;;;;;;;\n`,
  prices: `supplier;list;valid_from;valid_until;breaks;source;maker;number;supplier_number;from_quantity;price;currency\nHarl;Winter;2026-10-01;2027-03-31;incremental;letter of 3 October;Tarn;RT-1;H-0012;5;2.00;EUR\nHarl;Winter;2026-10-01;2027-03-31;incremental;letter of 3 October;Tarn;RT-1;H-0012;50;1.80;EUR\n`,
  machines: `model_maker;model;model_kind;fleet_number;name;serial_number;year;hours\nTarn;X9;;RT-9;Nine;A612;2019;77.7\n`,
}

async function into<T>(folder: string, run: () => Promise<T>): Promise<T> {
  await databaseClose()
  const before = process.env.DATA_DIR
  mkdirSync(folder, { recursive: true })
  process.env.DATA_DIR = folder
  try {
    return await run()
  } finally {
    await databaseClose()
    process.env.DATA_DIR = before
  }
}

async function allIn(files: Record<Kind, Uint8Array>): Promise<void> {
  for (const kind of KINDS_OVER)
    await exchangeImport(asWriter('person-wilf'), { kind, bytes: files[kind], file: kind }).catch((error: unknown) => {
      throw isRefusal(error) ? new Error([error.message, ...error.faults].join('\n')) : error
    })
}

async function allOut(format: 'csv' | 'json'): Promise<Record<Kind, Uint8Array>> {
  const files: Partial<Record<Kind, Uint8Array>> = {}
  for (const kind of KINDS_OVER) files[kind] = await collected(exchangeExport(kind, format))
  return files as Record<Kind, Uint8Array>
}

beforeAll(async () => {
  await aPerson('Wilf')
  await allIn(Object.fromEntries(KINDS_OVER.map((kind) => [kind, bytes(LISTS[kind])])) as Record<Kind, Uint8Array>)
})
afterAll(() => rmSync(other, { recursive: true, force: true }))

/** Columns that are read and never written, or written from what is kept elsewhere: why stands beside each. */
const NOT_KEPT: Partial<Record<Kind, readonly string[]>> = {
  // What a count difference says, of a moment that has passed.
  stock: ['reason'],
  // Checks a file against itself.
  prices: ['to_quantity'],
}

describe('everything taken out of one workshop and brought into an empty one', () => {
  it('has every column filled somewhere', async () => {
    const files = await allOut('json')
    for (const kind of KINDS_OVER) {
      const rows = JSON.parse(new TextDecoder().decode(files[kind])) as Record<string, unknown>[]
      const empty = columnsOf(kind)
        .map(([name]) => name)
        .filter((name) => rows.every((row) => row[name] === null || row[name] === undefined || row[name] === ''))
      expect({ kind, empty }).toEqual({ kind, empty: NOT_KEPT[kind] ?? [] })
    }
  })

  it.each(['csv', 'json'] as const)('comes out of it as %s, byte for byte', async (format) => {
    const files = await allOut(format)
    const folder = join(other, format)
    await into(folder, async () => {
      await migrateDeploy(join(folder, 'cotterbook.db'))
      await aPerson('Wilf')
      await allIn(files)
      const again = await allOut(format)
      for (const kind of KINDS_OVER)
        expect(new TextDecoder().decode(again[kind]), kind).toBe(new TextDecoder().decode(files[kind]))
    })
  })
})
