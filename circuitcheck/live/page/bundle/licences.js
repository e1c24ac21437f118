// Writes the licences of everything that went into the bundle beside it.
import { readdirSync, readFileSync, writeFileSync, existsSync } from "node:fs";
import { join } from "node:path";

const taken = [];
for (const group of readdirSync("node_modules")) {
  if (group.startsWith(".") || group === "esbuild" || group === "@esbuild") continue;
  const names = group.startsWith("@")
    ? readdirSync(join("node_modules", group)).map((name) => `${group}/${name}`)
    : [group];
  for (const name of names) {
    const folder = join("node_modules", name);
    const about = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
    const file = ["LICENSE", "LICENSE.md", "LICENCE"].find((one) => existsSync(join(folder, one)));
    if (!file) throw new Error(`${name} has no licence text`);
    taken.push(`${name} ${about.version} (${about.license})\n\n${readFileSync(join(folder, file), "utf8").trim()}\n`);
  }
}
writeFileSync("../vendor/codemirror.LICENCE.txt", taken.join(`\n${"-".repeat(78)}\n\n`));
