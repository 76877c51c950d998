import { xmlWalker } from './read-xml.ts'
import { unreadable } from './table.ts'

/**
 * An illustrated parts data module of S1000D, issues 4.2 and 5.0, as far as a parts book needs it. Names of elements and
 * attributes are those of the schema ipd.xsd; where they come from memory of it and could not be read again: `indenture`
 * counting from 1 for the assembly, `assert` as a way to give serial numbers, attachStoreShipPartCode 1 for an attaching part.
 * Issue 4.2 has itemSequenceNumber; itemSeqNumber of earlier issues is read alike.
 */
export interface S1000dHotspot {
  id: string
  /** Id of the element in the drawing. */
  ident: string
  /** Usually the number printed on the drawing. */
  name: string
}

export interface S1000dLine {
  item: string
  maker: string
  partNumber: string
  description: string
  /** As printed: a number, AR or REF. */
  quantity: string
  indenture: number
  isAttaching: boolean
  applicRefs: string[]
  hotspotRefs: string[]
}

export interface S1000dApplic {
  text: string
  serials: string[]
}

export interface S1000dModule {
  model: string
  number: string
  title: string
  company: string
  /** infoEntityIdent of the drawings, sheet by sheet. */
  graphics: string[]
  hotspots: S1000dHotspot[]
  lines: S1000dLine[]
  applics: Map<string, S1000dApplic>
}

type Attributes = Readonly<Record<string, string>>
const squeeze = (text: string) => text.replace(/\s+/g, ' ').trim()
/** 001 is printed 1 on the drawing; a variant letter stays. */
const itemOf = ({ item = '', itemVariant = '' }: Attributes) => `${item.replace(/^0+(?=.)/, '')}${itemVariant}`

/** Reads the module. Refuses with 'exchange/unreadable': no whole XML, entities, another kind of data module. */
export function s1000dRead(xml: string, file: string): S1000dModule {
  const module: S1000dModule = {
    model: '',
    number: '',
    title: '',
    company: '',
    graphics: [],
    hotspots: [],
    lines: [],
    applics: new Map(),
  }
  const path: string[] = []
  const within = (name: string) => path.includes(name)
  const texts = new Map<string, string>()
  let [text, isParts, figureTitle, code] = ['', false, '', {} as Attributes]
  let csn: { attributes: Attributes; refs: string[]; hotspots: string[] } | null = null
  let line: S1000dLine | null = null
  let applic: { id: string; texts: string[]; serials: string[] } | null = null
  const walker = xmlWalker(file, {
    open(name, attributes) {
      path.push(name)
      text = ''
      if (name === 'illustratedPartsCatalog') isParts = true
      else if (name === 'dmCode' && within('dmIdent') && !within('dmRef')) code = attributes
      else if (name === 'graphic' && within('figure') && attributes.infoEntityIdent)
        module.graphics.push(attributes.infoEntityIdent)
      else if (name === 'hotspot') {
        const {
          id = '',
          applicationStructureIdent: ident = '',
          applicationStructureName = '',
          hotspotTitle = '',
        } = attributes
        module.hotspots.push({ id: id || ident, ident, name: applicationStructureName || hotspotTitle })
        csn?.hotspots.push(id || ident)
      } else if (name === 'catalogSeqNumber' && within('illustratedPartsCatalog')) {
        csn = { attributes, refs: applicRefs(attributes), hotspots: [] }
      } else if (name === 'internalRef' && csn && attributes.internalRefId) {
        csn.hotspots.push(attributes.internalRefId)
      } else if ((name === 'itemSequenceNumber' || name === 'itemSeqNumber') && csn) {
        line = {
          item: itemOf(csn.attributes),
          maker: '',
          partNumber: '',
          description: '',
          quantity: '',
          indenture: Math.min(9, Math.max(0, Number(csn.attributes.indenture ?? 2) - 1) || 0),
          isAttaching: false,
          applicRefs: [...csn.refs, ...applicRefs(attributes)],
          hotspotRefs: csn.hotspots,
        }
      } else if (name === 'partRef' && line && line.partNumber === '') {
        line.maker = attributes.manufacturerCodeValue ?? ''
        line.partNumber = attributes.partNumberValue ?? ''
      } else if (name === 'attachStoreShipPart' && line) line.isAttaching = attributes.attachStoreShipPartCode === '1'
      else if (name === 'applic') applic = { id: attributes.id ?? '', texts: [], serials: [] }
      else if (name === 'assert' && applic && /serial/i.test(attributes.applicPropertyIdent ?? ''))
        applic.serials.push(attributes.applicPropertyValues ?? '')
    },
    text(piece) {
      text += piece
    },
    close(name) {
      path.pop()
      const says = squeeze(text)
      text = ''
      if (line && name === 'quantityPerNextHigherAssy') line.quantity = says
      else if (line && name === 'descrForPart') line.description = says
      // Older issues write number and maker as elements.
      else if (line && name === 'partNumber' && line.partNumber === '') line.partNumber = says
      else if (line && name === 'manufacturerCode' && line.maker === '') line.maker = says
      else if (name === 'title' && path.at(-1) === 'figure') figureTitle ||= says
      else if (['techName', 'infoName', 'enterpriseName'].includes(name)) texts.set(name, texts.get(name) ?? says)
      else if (name === 'simplePara' && applic) applic.texts.push(says)
      else if (name === 'applic' && applic) {
        if (applic.id !== '') module.applics.set(applic.id, { text: applic.texts.join(' '), serials: applic.serials })
        applic = null
      } else if ((name === 'itemSequenceNumber' || name === 'itemSeqNumber') && line) {
        module.lines.push(line)
        line = null
      } else if (name === 'catalogSeqNumber') {
        module.number ||= numberOf(csn?.attributes ?? {}, code)
        csn = null
      }
    },
  })
  walker.write(xml.replace(/^\ufeff/, ''))
  walker.end()
  if (!isParts) throw unreadable(file, 'it is no illustrated parts data module (it has no illustratedPartsCatalog)')
  if (module.lines.length === 0) throw unreadable(file, 'its parts list is empty')
  module.model = code.modelIdentCode ?? ''
  module.title = figureTitle || texts.get('techName') || module.number
  module.company = texts.get('enterpriseName') ?? ''
  return module
}

function applicRefs({ applicRefId, applicRefIds }: Attributes): string[] {
  return (applicRefIds ?? applicRefId ?? '').split(/\s+/).filter((id) => id !== '')
}

/** System, sub-systems and assembly of the data module code, then figure and variant: 32-10-01-02A. */
function numberOf(csn: Attributes, code: Attributes): string {
  const pick = (name: string) => csn[name] ?? code[name] ?? ''
  const figure = csn.figureNumber ?? code.disassyCode ?? ''
  const parts = [
    pick('systemCode'),
    pick('subSystemCode') + pick('subSubSystemCode'),
    pick('assyCode'),
    `${figure}${csn.figureNumberVariant ?? ''}`,
  ]
  return parts
    .filter((part) => part !== '')
    .join('-')
    .slice(0, 20)
}
