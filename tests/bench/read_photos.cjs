// Codes in images by a module for node: read_photos.cjs MODULE IMAGE… Writes a line a code: the image, a tab, the
// text's UTF-8 bytes in hex. jsqr sees pixels only, which ImageMagick makes.
"use strict";
const fs = require("fs");
const path = require("path");
const { execFileSync } = require("child_process");

const [module_name, ...images] = process.argv.slice(2);
const hex = (text) => Buffer.from(text, "utf8").toString("hex").replace(/../g, "$& ").trim();
const say = (image, text) => process.stdout.write(`${image}\t${hex(text)}\n`);

async function by_zxing(image) {
  const { prepareZXingModule, readBarcodes } = require("zxing-wasm/reader");
  // The module would fetch its program from the net; it lies beside it.
  const program = path.join(require.resolve("zxing-wasm").split("/dist/")[0], "dist/reader/zxing_reader.wasm");
  prepareZXingModule({ overrides: { wasmBinary: fs.readFileSync(program).buffer } });
  for (const code of await readBarcodes(new Blob([fs.readFileSync(image)]), { tryHarder: true }))
    if (code.isValid) say(image, code.text);
}

function by_jsqr(image) {
  const read = require("jsqr");
  const [width, height] = execFileSync("identify", ["-format", "%w %h", `${image}[0]`]).toString().split(" ").map(Number);
  const pixels = execFileSync("convert", [`${image}[0]`, "-depth", "8", "rgba:-"], { maxBuffer: 1 << 30 });
  const code = (read.default || read)(new Uint8ClampedArray(pixels), width, height);
  if (code && code.data) say(image, code.data);
}

(async () => {
  for (const image of images) {
    try {
      if (module_name === "jsqr") by_jsqr(image);
      else await by_zxing(image);
    } catch (error) {
      process.stderr.write(`${image}: ${error.message}\n`);
    }
  }
})();
