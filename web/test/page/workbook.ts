// A workbook of plain cells as a spreadsheet program saves it (ECMA-376, Office Open XML, in a ZIP archive without compression).

import { crc32 } from 'node:zlib';

type Cell = string | number;

export function workbook(sheets: readonly { name: string; rows: readonly (readonly Cell[])[] }[]): Buffer {
  const each = sheets.map(({ name, rows }, i) => ({ id: i + 1, name, rows }));
  return archive({
    '[Content_Types].xml': `<Types xmlns="${CONTENT}/content-types">
      <Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
      <Default Extension="xml" ContentType="application/xml"/>
      <Override PartName="/xl/workbook.xml" ContentType="${OFFICE}.sheet.main+xml"/>
      ${each.map(({ id }) => `<Override PartName="/xl/worksheets/sheet${id}.xml" ContentType="${OFFICE}.worksheet+xml"/>`).join('')}
    </Types>`,
    '_rels/.rels': relations([{ id: 1, type: 'officeDocument', target: 'xl/workbook.xml' }]),
    'xl/workbook.xml': `<workbook xmlns="${MAIN}/main" xmlns:r="${DOCUMENT}/relationships"><sheets>
      ${each.map(({ id, name }) => `<sheet name="${name}" sheetId="${id}" r:id="rId${id}"/>`).join('')}
    </sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': relations(
      each.map(({ id }) => ({ id, type: 'worksheet', target: `worksheets/sheet${id}.xml` })),
    ),
    ...Object.fromEntries(
      each.map(({ id, rows }) => [
        `xl/worksheets/sheet${id}.xml`,
        `<worksheet xmlns="${MAIN}/main"><sheetData>${rows.map(row).join('')}</sheetData></worksheet>`,
      ]),
    ),
  });
}

const CONTENT = 'http://schemas.openxmlformats.org/package/2006';
const DOCUMENT = 'http://schemas.openxmlformats.org/officeDocument/2006';
const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006';
const OFFICE = 'application/vnd.openxmlformats-officedocument.spreadsheetml';

function relations(all: readonly { id: number; type: string; target: string }[]): string {
  const each = all.map(
    ({ id, type, target }) =>
      `<Relationship Id="rId${id}" Type="${DOCUMENT}/relationships/${type}" Target="${target}"/>`,
  );
  return `<Relationships xmlns="${CONTENT}/relationships">${each.join('')}</Relationships>`;
}

function row(cells: readonly Cell[], i: number): string {
  const each = cells.map((cell, j) => {
    const at = `${String.fromCharCode(65 + j)}${i + 1}`;
    return typeof cell === 'number'
      ? `<c r="${at}"><v>${cell}</v></c>`
      : `<c r="${at}" t="inlineStr"><is><t>${cell}</t></is></c>`;
  });
  return `<row r="${i + 1}">${each.join('')}</row>`;
}

function archive(files: Record<string, string>): Buffer {
  const parts: Buffer[] = [];
  const directory: Buffer[] = [];
  let offset = 0;
  for (const [name, text] of Object.entries(files)) {
    const [named, bytes] = [Buffer.from(name), Buffer.from(`<?xml version="1.0" encoding="UTF-8"?>${text}`)];
    // Version, flags, method, time, date (1 January 1980), checksum, sizes, lengths of name and extra field.
    const head = Buffer.alloc(26);
    head.writeUInt16LE(20, 0);
    head.writeUInt16LE(0x21, 8);
    head.writeUInt32LE(crc32(bytes), 10);
    head.writeUInt32LE(bytes.length, 14);
    head.writeUInt32LE(bytes.length, 18);
    head.writeUInt16LE(named.length, 22);
    const local = Buffer.concat([Buffer.from('PK\x03\x04'), head, named, bytes]);
    const rest = Buffer.alloc(14);
    rest.writeUInt32LE(offset, 10);
    directory.push(Buffer.concat([Buffer.from('PK\x01\x02\x14\x00'), head, rest, named]));
    parts.push(local);
    offset += local.length;
  }
  const central = Buffer.concat(directory);
  const end = Buffer.alloc(22);
  end.write('PK\x05\x06', 'latin1');
  end.writeUInt16LE(parts.length, 8);
  end.writeUInt16LE(parts.length, 10);
  end.writeUInt32LE(central.length, 12);
  end.writeUInt32LE(offset, 16);
  return Buffer.concat([...parts, central, end]);
}
