package org.cellherd.mqtt;

import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;

/** {@code $description} of each device. Its version has to rise with every change. */
final class HomieDescription {

  private static final String CONVENTION = "5.0";

  private HomieDescription() {}

  /** The root device: it holds only its children. */
  static String root(HomieTopics topics, List<PackPlan> packs, long version) {
    Facts.Builder b = head("cellherd " + topics.site(), version);
    b.put("children", packs.stream().map(plan -> topics.device(plan.id())).toList());
    return JsonText.of(b.build());
  }

  static String pack(HomieTopics topics, PackPlan plan, long version) {
    Facts nodes = Facts.of().put("pack", packNode()).put("cells", cellsNode(plan.series())).build();
    return JsonText.of(
        head(plan.name(), version)
            .put("root", topics.root())
            .put("parent", topics.root())
            .put("nodes", nodes)
            .build());
  }

  /** Every {@code node/property} of a pack. */
  static List<String> properties(PackPlan plan) {
    return Stream.concat(
            packProperties().list().stream().map(fact -> "pack/" + fact.name()),
            cellProperties(plan.series()).list().stream().map(fact -> "cells/" + fact.name()))
        .toList();
  }

  /** Those that a reading tells. */
  static List<String> measured(PackPlan plan) {
    return properties(plan).stream()
        .filter(property -> !property.equals("pack/state") && !property.equals("pack/summary"))
        .toList();
  }

  /** Two digits for cells, as many as the plan has: v01, v02. */
  static String cellId(int cell) {
    return String.format(Locale.ROOT, "v%02d", cell);
  }

  private static Facts.Builder head(String name, long version) {
    return Facts.of().put("homie", CONVENTION).put("version", version).put("name", name);
  }

  private static Facts packNode() {
    return Facts.of().put("name", "Pack").put("properties", packProperties()).build();
  }

  private static Facts packProperties() {
    return Facts.of()
        .put("voltage", number("Voltage", "V"))
        .put("current", number("Current, positive while charging", "A"))
        .put("soc", formatted(number("State of charge", "%"), "0:100"))
        .put("spread", formatted(number("Cell spread", "V"), "0:"))
        .put("temperature-max", number("Highest temperature", "\u00b0C"))
        .put("state", property("Heard", "enum", "live,silent,asleep,starting"))
        .put("reading-time", property("Time of the reading", "datetime", ""))
        .put("summary", property("What is happening", "string", ""))
        .build();
  }

  private static Facts cellsNode(int cells) {
    return Facts.of().put("name", "Cells").put("properties", cellProperties(cells)).build();
  }

  private static Facts cellProperties(int cells) {
    Facts.Builder properties = Facts.of();
    for (int cell = 1; cell <= cells; cell++) {
      properties.put(cellId(cell), number("Cell " + cell, "V"));
    }
    return properties.build();
  }

  private static Facts number(String name, String unit) {
    return Facts.of().put("name", name).put("datatype", "float").put("unit", unit).build();
  }

  private static Facts formatted(Facts property, String format) {
    return Facts.of().putAll(property).put("format", format).build();
  }

  private static Facts property(String name, String datatype, String format) {
    Facts.Builder b = Facts.of().put("name", name).put("datatype", datatype);
    return format.isEmpty() ? b.build() : b.put("format", format).build();
  }
}
