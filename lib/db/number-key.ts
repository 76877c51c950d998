import { Prisma } from './client.ts'

/**
 * The key of a number that is kept as it was printed, in the words of the database: lower case, without spaces and separators.
 * The indexes of migration 0005_search are on these very expressions; another spelling of the same would read every row.
 * Agrees with `partNumberKey` for numbers in Latin letters, digits and these separators, which is what suppliers print.
 */
const SEPARATORS = [' ', '-', '.', '/', '_', ',', ':', '(', ')', '*']

function keyOf(column: string): Prisma.Sql {
  return Prisma.raw(`lower(${SEPARATORS.reduce((inner, sign) => `replace(${inner},'${sign}','')`, column)})`)
}

export const SUPPLIER_NUMBER_KEY = keyOf('"supplierNumber"')
export const SERIAL_NUMBER_KEY = keyOf('"serialNumber"')
