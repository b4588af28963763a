package org.cellherd.protocol.spec;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.protocol.spec.Thermistor.Table.Row;
import org.cellherd.toml.TomlTable;

/** Reads the {@code [thermistor.NAME]} tables. */
final class ThermistorReader {

  private static final Thermistor ANY = new Thermistor.SteinhartHart(1e-3, 2.5e-4, 2e-7);

  private ThermistorReader() {}

  static Map<String, Thermistor> read(TomlTable top) {
    Map<String, Thermistor> result = new LinkedHashMap<>();
    top.tableIfAny("thermistor")
        .ifPresent(all -> all.keys().forEach(name -> result.put(name, part(all.table(name)))));
    return result;
  }

  private static Thermistor part(TomlTable t) {
    Thermistor part = t.has("table") ? table(t) : equation(t);
    if (!t.has("pull_up_ohm")) {
      return part;
    }
    return new Thermistor.Divider(
        part, t.decimal("pull_up_ohm", 1, 1e9), t.decimal("full_scale", 1, 1e12));
  }

  private static Thermistor table(TomlTable t) {
    List<Row> rows =
        t.decimalRows("table", 2, -100, 1e9).stream()
            .map(r -> new Row(r.get(0), r.get(1)))
            .toList();
    if (rows.size() < 2) {
      t.problem("table", "needs two rows [degC, ohm] at least");
      return ANY;
    }
    for (int i = 0; i < rows.size(); i++) {
      boolean ordered =
          i == 0
              || (rows.get(i).celsius() > rows.get(i - 1).celsius()
                  && rows.get(i).ohm() < rows.get(i - 1).ohm());
      if (!ordered || rows.get(i).ohm() <= 0) {
        t.problem(
            "table", "row " + (i + 1) + " must be warmer and lower in ohm than the one before");
        return ANY;
      }
    }
    return new Thermistor.Table(rows);
  }

  private static Thermistor equation(TomlTable t) {
    List<Double> abc = t.decimals("steinhart_hart", -1, 1);
    if (abc.size() != 3) {
      t.problem("steinhart_hart", "allowed: [A, B, C], or give a table of [degC, ohm]");
      return ANY;
    }
    if (abc.get(1) <= 0 || abc.get(2) < 0) {
      t.problem("steinhart_hart", "B must be above 0, C not below 0");
      return ANY;
    }
    return new Thermistor.SteinhartHart(abc.get(0), abc.get(1), abc.get(2));
  }
}
