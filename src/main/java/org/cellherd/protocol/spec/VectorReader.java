package org.cellherd.protocol.spec;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.cellherd.pack.Worded;
import org.cellherd.protocol.Refusal;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.toml.Problems;
import org.cellherd.toml.TomlDocument;
import org.cellherd.toml.TomlTable;

/** Reads a file of vectors. */
final class VectorReader {

  private VectorReader() {}

  static List<Vector> read(String fileName, String text, Problems problems) {
    Optional<TomlTable> top = TomlDocument.parse(fileName, text, problems);
    if (top.isEmpty()) {
      return List.of();
    }
    List<Vector> vectors = new ArrayList<>();
    for (TomlTable t : top.get().tables("vector")) {
      vectors.add(vector(t));
    }
    if (vectors.isEmpty()) {
      top.get().problem("vector", "is missing, allowed: one [[vector]] at least");
    }
    top.get().finish();
    return vectors;
  }

  private static Vector vector(TomlTable t) {
    Optional<String> refused = t.oneOfIfAny("refused", Worded.words(Refusal.Reason.values()));
    Optional<TomlTable> reading = t.tableIfAny("reading");
    Map<String, String> extras = new LinkedHashMap<>();
    t.tableIfAny("shows").ifPresent(e -> e.keys().forEach(key -> extras.put(key, e.text(key))));
    if (reading.isPresent() == refused.isPresent()) {
      t.problem("needs either [vector.reading] or refused");
    }
    return new Vector(
        t.text("name"),
        t.line(),
        t.text("message", ""),
        t.integer("address", 0, 255, 1),
        t.integer("page", 0, 255, -1),
        exchanges(t),
        reading.map(VectorReader::reading),
        extras,
        refused.flatMap(word -> Worded.find(Refusal.Reason.values(), word)),
        t.bool("encodes", refused.isEmpty()));
  }

  private static List<Vector.Exchange> exchanges(TomlTable t) {
    if (!t.has("exchange")) {
      return List.of(exchange(t));
    }
    return t.tables("exchange").stream().map(VectorReader::exchange).toList();
  }

  private static Vector.Exchange exchange(TomlTable t) {
    return new Vector.Exchange(
        t.has("request") || t.has("request_text")
            ? Optional.of(bytes(t, "request"))
            : Optional.empty(),
        bytes(t, "frame"));
  }

  /** Bytes in hex, or as a text where the key ends in {@code _text}. */
  private static Bytes bytes(TomlTable t, String key) {
    Optional<String> text = t.textIfAny(key + "_text");
    return text.map(s -> Bytes.of(s.getBytes(StandardCharsets.ISO_8859_1)))
        .orElseGet(() -> FrameReader.hex(t, key));
  }

  private static Reading reading(TomlTable t) {
    Reading.Builder b = Reading.at(0);
    List<OptionalInt> cells = row(t, "cells_v", 4);
    List<OptionalInt> temperatures = row(t, "temps_c", 1);
    if (!cells.isEmpty()) {
      b.cells(CellVoltages.ofOptional(cells.toArray(new OptionalInt[0])));
    }
    if (!temperatures.isEmpty()) {
      b.temperatures(Temperatures.ofOptional(temperatures.toArray(new OptionalInt[0])));
    }
    for (Channel.Kind kind : Channel.Kind.values()) {
      if (!kind.isNumbered()) {
        String key = Channel.of(kind).columnName();
        double scale = Math.pow(10, kind.decimals());
        t.decimalIfAny(key, -1e18, 1e18).ifPresent(v -> b.value(kind, Math.round(v * scale)));
      }
    }
    return b.build();
  }

  /** Values in a row; -999 stands for a value that is missing. */
  private static List<OptionalInt> row(TomlTable t, String key, int decimals) {
    return t.decimals(key, -999, 1000).stream()
        .map(
            v ->
                v == -999
                    ? OptionalInt.empty()
                    : OptionalInt.of((int) Math.round(v * Math.pow(10, decimals))))
        .toList();
  }
}
