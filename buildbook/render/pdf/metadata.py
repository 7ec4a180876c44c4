"""The document's metadata packet (XMP, ISO 16684-1), written from a template so that no clock gets into it."""

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
    xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">
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
   <pdfaid:conformance>B</pdfaid:conformance>
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
