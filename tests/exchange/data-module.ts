/**
 * Data modules of our own invention in the shape of S1000D's ipd.xsd, issues 4.2 and 5.0: an invented trailer of an invented
 * maker. Only what a parts book needs is in them; they are no valid data modules of a publication.
 */
export const DRAWING = `<?xml version="1.0"?>
<svg xmlns="http://www.w3.org/2000/svg" viewBox="100 50 400 300" width="800" height="600">
<g id="AUTOID_1"><circle cx="150" cy="100" r="10"/></g>
<g transform="translate(200 100)"><g id="AUTOID_2" transform="scale(2)"><rect x="10" y="20" width="10" height="4"/></g></g>
<path id="AUTOID_3" d="M 300 200 l 20 0 v 10 h -20 z"/>
<circle id="other" cx="1" cy="1" r="1"/>
</svg>`

const STATUS = `<identAndStatusSection><dmAddress><dmIdent>
<dmCode modelIdentCode="QTR" systemDiffCode="A" systemCode="32" subSystemCode="1" subSubSystemCode="0" assyCode="01" disassyCode="02" disassyCodeVariant="A" infoCode="941" infoCodeVariant="A" itemLocationCode="D"/>
<language languageIsoCode="en" countryIsoCode="GB"/><issueInfo issueNumber="001" inWork="00"/></dmIdent>
<dmAddressItems><issueDate year="2026" month="03" day="02"/><dmTitle><techName>Hub and drum brake</techName><infoName>Illustrated parts data</infoName></dmTitle></dmAddressItems></dmAddress>
<dmStatus><responsiblePartnerCompany enterpriseCode="QX001"><enterpriseName>Thornley &amp; Pike</enterpriseName></responsiblePartnerCompany>
<brexDmRef><dmRef><dmRefIdent><dmCode modelIdentCode="OTHER" systemCode="99"/></dmRefIdent></dmRef></brexDmRef></dmStatus></identAndStatusSection>`

const APPLIC = `<referencedApplicGroup>
<applic id="app-old"><displayText><simplePara>trailers up to 1499</simplePara></displayText><assert applicPropertyIdent="serialno" applicPropertyType="prodattr" applicPropertyValues="1000~1499"/></applic>
<applic id="app-wet"><displayText><simplePara>machines with oil brakes</simplePara></displayText></applic></referencedApplicGroup>`

function csn(item: string, attributes: string, inside: string, sequence: string, before = ''): string {
  return `<catalogSeqNumber figureNumber="02" figureNumberVariant="A" item="${item}" ${attributes}>${before}<${sequence} itemSeqNumberValue="00A">${inside}</${sequence}></catalogSeqNumber>`
}

function part(number: string, description: string, quantity: string, more = ''): string {
  return `<quantityPerNextHigherAssy>${quantity}</quantityPerNextHigherAssy><partRef manufacturerCodeValue="QX001" partNumberValue="${number}"/><partSegment><itemIdentData><descrForPart>${description}</descrForPart></itemIdentData></partSegment>${more}`
}

const ATTACHING = '<partLocationSegment><attachStoreShipPart attachStoreShipPartCode="1"/></partLocationSegment>'

export function dataModule(sequence: 'itemSequenceNumber' | 'itemSeqNumber' = 'itemSequenceNumber', head = ''): string {
  return `<?xml version="1.0" encoding="UTF-8"?>${head}<dmodule>${STATUS}<content>${APPLIC}<illustratedPartsCatalog>
<figure id="fig-0001"><title>Hub with brake</title><graphic infoEntityIdent="ICN-QTR-32-00001">
<hotspot id="hot-1" applicationStructureIdent="AUTOID_1" applicationStructureName="1"/>
<hotspot id="hot-2" applicationStructureIdent="AUTOID_2" applicationStructureName="2"/>
<hotspot id="hot-3" applicationStructureIdent="AUTOID_3" applicationStructureName="three"/>
<hotspot id="hot-9" applicationStructureIdent="AUTOID_9" applicationStructureName="9"/></graphic></figure>
${csn('000', 'indenture="1"', part('QX-100', 'HUB, ASSEMBLY', 'REF'), sequence)}
${csn('001', 'indenture="2"', part('QX-101', 'HUB', '1'), sequence, '<internalRef internalRefId="hot-1" internalRefTargetType="irtt11"/>')}
${csn('002', 'indenture="2" applicRefId="app-old"', part('QX-102', 'NUT, CASTLE', '4', ATTACHING), sequence)}
${csn('003', 'itemVariant="A" indenture="3" applicRefIds="app-wet"', part('QX-103', 'SEAL', 'AR'), sequence, '<internalRef internalRefId="hot-3"/>')}
</illustratedPartsCatalog></content></dmodule>`
}
