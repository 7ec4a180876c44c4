"""The document's metadata packet (XMP, ISO 16684-1), written from a template so that no clock gets into it.

It claims PDF/A-3 level A (ISO 19005-3, 6.6.4) and PDF/UA-1 (ISO 14289-1, clause 5). PDF/A knows nothing of the second
claim's namespace, so the packet describes it (ISO 19005-3, 6.6.2.3).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from xml.sax.saxutils import escape


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the file says about itself, in its information dictionary and its metadata alike."""

    title: str
    author: str
    subject: str
    language: str
    issued_on: date
    creator: str
    producer: str
    keywords: str = ""


_PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
  <rdf:Description rdf:about=""
    xmlns:dc="http://purl.org/dc/elements/1.1/"
    xmlns:xmp="http://ns.adobe.com/xap/1.0/"
    xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
    xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/"
    xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
   <dc:format>application/pdf</dc:format>
   <dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
   <dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
   <dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
   <dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
   <xmp:CreatorTool>{creator}</xmp:CreatorTool>
   <xmp:CreateDate>{stamp}</xmp:CreateDate>
   <xmp:ModifyDate>{stamp}</xmp:ModifyDate>
   <xmp:MetadataDate>{stamp}</xmp:MetadataDate>
   <pdf:Producer>{producer}</pdf:Producer>
   <pdf:Keywords>{keywords}</pdf:Keywords>
   <pdfaid:part>3</pdfaid:part>
   <pdfaid:conformance>A</pdfaid:conformance>
   <pdfuaid:part>1</pdfuaid:part>
  </rdf:Description>
  <rdf:Description rdf:about=""
    xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
    xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
    xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
   <pdfaExtension:schemas>
    <rdf:Bag>
     <rdf:li rdf:parseType="Resource">
      <pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
      <pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
      <pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
      <pdfaSchema:property>
       <rdf:Seq>
        <rdf:li rdf:parseType="Resource">
         <pdfaProperty:name>part</pdfaProperty:name>
         <pdfaProperty:valueType>Integer</pdfaProperty:valueType>
         <pdfaProperty:category>internal</pdfaProperty:category>
         <pdfaProperty:description>Part of ISO 14289 the file conforms to</pdfaProperty:description>
        </rdf:li>
       </rdf:Seq>
      </pdfaSchema:property>
     </rdf:li>
    </rdf:Bag>
   </pdfaExtension:schemas>
  </rdf:Description>
 </rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>"""


def xmp_packet(facts: Facts) -> bytes:
    """The packet as UTF-8."""
    made = _PACKET.format(
        title=escape(facts.title),
        author=escape(facts.author),
        subject=escape(facts.subject),
        language=escape(facts.language),
        creator=escape(facts.creator),
        producer=escape(facts.producer),
        keywords=escape(facts.keywords),
        stamp=f"{facts.issued_on:%Y-%m-%d}T00:00:00Z",
    )
    return made.encode("utf-8")
