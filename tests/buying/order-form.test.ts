import { describe, expect, test } from 'vitest'
import { OrderPlaceForm, OrderReceiveForm } from '../../lib/buying/schema.ts'
import { formAsRead } from './form-as-read.ts'

describe('the forms', () => {
  test('a line without its tick, left blank or at zero is not ordered', () => {
    const input = formAsRead(OrderPlaceForm, [
      ['supplierId', '3'],
      ['chosen', '11'],
      ['chosen', '12'],
      ['chosen', '13'],
      ['chosen', '14'],
      ['quantity.11.each', '6'],
      ['quantity.12.each', '0'],
      ['quantity.13.each', ''],
      ['quantity.14.litre', '0,25'],
      ['quantity.15.each', '8'],
    ])
    expect(input).toEqual({
      supplierId: 3,
      as: 'ordered',
      lines: [
        { partId: 11, quantity: 6 },
        { partId: 14, quantity: 250 },
      ],
    })
  })

  test('with every tick taken off nothing is chosen', () => {
    const input = formAsRead(OrderPlaceForm, [
      ['supplierId', '3'],
      ['quantity.11.each', '6'],
    ])
    expect(input).toEqual({ supplierId: 3, lines: [], as: 'ordered' })
  })

  test('a quantity that is no number is marked at its own field', () => {
    const fields: [string, string][] = [
      ['supplierId', '3'],
      ['chosen', '11'],
      ['quantity.11.each', '1.5'],
      ['quantity.12.each', 'two'],
    ]
    expect(() => formAsRead(OrderPlaceForm, fields)).toThrow(
      expect.objectContaining({ fields: { 'quantity.11.each': 'enter a whole number' } }),
    )
  })

  test('what came needs a bin, what did not come needs none', () => {
    const fields: [string, string][] = [
      ['orderId', '9'],
      ['receive.21.each', '4'],
      ['bin.21', ''],
      ['receive.22.each', '0'],
      ['bin.22', ''],
    ]
    expect(() => formAsRead(OrderReceiveForm, fields)).toThrow(
      expect.objectContaining({ fields: { 'bin.21': 'choose a bin' } }),
    )
    fields[2] = ['bin.21', '5']
    expect(formAsRead(OrderReceiveForm, fields)).toEqual({ orderId: 9, lines: [{ lineId: 21, binId: 5, quantity: 4 }] })
  })
})
