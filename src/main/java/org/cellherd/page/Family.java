package org.cellherd.page;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * One quantity of many packs. Filled and written by one thread.
 *
 * <p>Names follow OpenMetrics 1.0: the unit ends the name, a counter's samples end in {@code
 * _total}, an info's in {@code _info}.
 */
final class Family {

  enum Type {
    GAUGE(""),
    COUNTER("_total"),
    INFO("_info"),
    STATESET("");

    private final String suffix;

    Type(String suffix) {
      this.suffix = suffix;
    }
  }

  private final String name;
  private final Type type;
  private final String unit;
  private final String help;
  private final List<Sample> samples = new ArrayList<>();

  /** One number with its labels in order. */
  record Sample(Map<String, String> labels, double value) {}

  Family(String name, Type type, String unit, String help) {
    if (!unit.isEmpty() && !name.endsWith("_" + unit)) {
      throw new IllegalArgumentException(name + " does not end in its unit " + unit);
    }
    this.name = name;
    this.type = type;
    this.unit = unit;
    this.help = help;
  }

  /** Adds a number; labels are name, value, name, value. */
  void add(double value, String... labels) {
    Map<String, String> map = new LinkedHashMap<>();
    for (int i = 0; i + 1 < labels.length; i += 2) {
      map.put(labels[i], labels[i + 1]);
    }
    samples.add(new Sample(map, value));
  }

  String name() {
    return name;
  }

  Type type() {
    return type;
  }

  String unit() {
    return unit;
  }

  String help() {
    return help;
  }

  String sampleName() {
    return name + type.suffix;
  }

  List<Sample> samples() {
    return samples;
  }
}
