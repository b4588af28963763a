package org.cellherd.page;

import java.math.BigDecimal;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/** The two text forms in which collectors take figures. */
enum Exposition {
  /** OpenMetrics text 1.0. */
  OPEN_METRICS("application/openmetrics-text; version=1.0.0; charset=utf-8"),
  /** The older text form 0.0.4, for collectors that do not ask for the other. */
  PLAIN("text/plain; version=0.0.4; charset=utf-8");

  private final String contentType;

  Exposition(String contentType) {
    this.contentType = contentType;
  }

  public String contentType() {
    return contentType;
  }

  String text(List<Family> families) {
    StringBuilder out = new StringBuilder(16_384);
    for (Family family : families) {
      if (!family.samples().isEmpty()) {
        write(family, out);
      }
    }
    return out.append(this == OPEN_METRICS ? "# EOF\n" : "").toString();
  }

  private void write(Family family, StringBuilder out) {
    String name = this == OPEN_METRICS ? family.name() : family.sampleName();
    out.append("# TYPE ").append(name).append(' ').append(type(family)).append('\n');
    if (this == OPEN_METRICS && !family.unit().isEmpty()) {
      out.append("# UNIT ").append(name).append(' ').append(family.unit()).append('\n');
    }
    out.append("# HELP ").append(name).append(' ');
    out.append(escaped(family.help(), this == OPEN_METRICS)).append('\n');
    for (Family.Sample sample : family.samples()) {
      out.append(family.sampleName());
      labels(sample.labels(), out);
      out.append(' ').append(number(sample.value())).append('\n');
    }
  }

  private String type(Family family) {
    boolean isGauge = this == PLAIN && family.type() != Family.Type.COUNTER;
    return isGauge ? "gauge" : family.type().name().toLowerCase(Locale.ROOT);
  }

  private static void labels(Map<String, String> labels, StringBuilder out) {
    if (labels.isEmpty()) {
      return;
    }
    char before = '{';
    for (Map.Entry<String, String> label : labels.entrySet()) {
      out.append(before).append(label.getKey()).append("=\"");
      out.append(escaped(label.getValue(), true)).append('"');
      before = ',';
    }
    out.append('}');
  }

  private static String escaped(String text, boolean quotes) {
    String safe = text.replace("\\", "\\\\").replace("\n", "\\n");
    return quotes ? safe.replace("\"", "\\\"") : safe;
  }

  private static String number(double value) {
    return value == Math.rint(value) && Math.abs(value) < 1e15
        ? Long.toString((long) value)
        : BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
  }
}
