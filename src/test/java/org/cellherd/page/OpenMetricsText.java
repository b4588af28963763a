package org.cellherd.page;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A strict reader of OpenMetrics text 1.0, written from the specification (github.com/prometheus
 * OpenMetrics, Apache-2.0) and measured by its 211 published cases, not from our writer.
 */
final class OpenMetricsText {

  private static final String NAME = "[a-zA-Z_:][a-zA-Z0-9_:]*";
  private static final String LABEL = "[a-zA-Z_][a-zA-Z0-9_]*=\"(?:[^\"\\\\\\n]|\\\\.)*\"";
  private static final String LABELS = "\\{(?:" + LABEL + "(?:," + LABEL + ")*)?\\}";
  private static final String NUMBER = "[^ #]+";
  private static final Pattern META = Pattern.compile("# (TYPE|UNIT|HELP) (" + NAME + ") (.*)");
  private static final Pattern EMPTY_META = Pattern.compile("# (UNIT|HELP) (" + NAME + ") ");
  private static final Pattern SAMPLE =
      Pattern.compile(
          "("
              + NAME
              + ")("
              + LABELS
              + ")? ("
              + NUMBER
              + ")(?: ("
              + NUMBER
              + "))?(?: # ("
              + LABELS
              + ") ("
              + NUMBER
              + ")(?: ("
              + NUMBER
              + "))?)?");
  private static final Pattern ONE_LABEL =
      Pattern.compile("([a-zA-Z_][a-zA-Z0-9_]*)=\"((?:[^\"\\\\\\n]|\\\\.)*)\"");
  private static final Pattern DECIMAL =
      Pattern.compile("[+-]?(?:\\d+\\.?\\d*|\\.\\d+)(?:[eE][+-]?\\d+)?");
  private static final int MOST_EXEMPLAR = 128;

  private static final Map<String, List<String>> SUFFIXES =
      Map.of(
          "counter", List.of("_total", "_created"),
          "summary", List.of("_count", "_sum", "", "_created"),
          "histogram", List.of("_count", "_sum", "_bucket", "_created"),
          "gaugehistogram", List.of("_gcount", "_gsum", "_bucket"),
          "info", List.of("_info"),
          "gauge", List.of(""),
          "stateset", List.of(""),
          "unknown", List.of(""));

  private final Map<String, Group> families = new LinkedHashMap<>();
  private final Set<String> sampleNames = new HashSet<>();
  private Group current = new Group("");
  private boolean hasFamily;

  /** One family as read. */
  static final class Group {
    final String name;
    String type = "unknown";
    String unit = "";
    String help = "";
    final List<Read> samples = new ArrayList<>();
    private final Set<String> told = new HashSet<>();
    private final Set<String> groups = new HashSet<>();
    private String group = "\u0000";
    private final Map<String, Double> times = new HashMap<>();
    private final Set<String> keys = new HashSet<>();
    private final Map<String, Boolean> timed = new HashMap<>();

    Group(String name) {
      this.name = name;
    }
  }

  /** One sample as read. */
  record Read(String name, Map<String, String> labels, double value) {}

  /** A text that is not OpenMetrics. */
  static final class Wrong extends RuntimeException {
    private static final long serialVersionUID = 1L;

    Wrong(String why) {
      super(why);
    }
  }

  private OpenMetricsText() {}

  /** The families of a text. */
  static Map<String, Group> read(String text) {
    return new OpenMetricsText().all(text);
  }

  private static void must(boolean condition, String why) {
    if (!condition) {
      throw new Wrong(why);
    }
  }

  private Map<String, Group> all(String text) {
    must(text.endsWith("# EOF\n") || text.endsWith("# EOF"), "no # EOF at the end");
    String[] lines = text.split("\n", -1);
    int count = text.endsWith("\n") ? lines.length - 1 : lines.length;
    for (int i = 0; i < count - 1; i++) {
      must(!lines[i].equals("# EOF"), "text after # EOF");
      line(lines[i]);
    }
    must(lines[count - 1].equals("# EOF"), "no # EOF at the end");
    finish();
    return families;
  }

  private void line(String line) {
    must(!line.isEmpty(), "blank line");
    if (line.startsWith("#")) {
      Matcher meta = META.matcher(line);
      Matcher empty = EMPTY_META.matcher(line);
      if (meta.matches()) {
        meta(meta.group(1), meta.group(2), meta.group(3));
      } else {
        must(empty.matches(), "no comments: " + line);
        meta(empty.group(1), empty.group(2), "");
      }
    } else {
      sample(line);
    }
  }

  private void meta(String word, String name, String rest) {
    if (!hasFamily || !current.name.equals(name)) {
      open(name);
    }
    must(current.samples.isEmpty(), word + " after samples of " + name);
    must(current.told.add(word), word + " twice for " + name);
    switch (word) {
      case "TYPE" -> {
        must(SUFFIXES.containsKey(rest), "no type " + rest);
        current.type = rest;
      }
      case "UNIT" -> current.unit = rest;
      default -> current.help = unescaped(rest);
    }
  }

  private void open(String name) {
    finish();
    must(!families.containsKey(name), "family " + name + " twice or interleaved");
    current = new Group(name);
    families.put(name, current);
    hasFamily = true;
  }

  private void sample(String line) {
    Matcher m = SAMPLE.matcher(line);
    must(m.matches(), "no sample: " + line);
    String name = m.group(1);
    if (!hasFamily || !isOf(current, name)) {
      open(name);
      current.type = "unknown";
    }
    String suffix = name.substring(current.name.length());
    Map<String, String> labels = labels(m.group(2));
    double value = number(m.group(3));
    if (m.group(5) != null) {
      exemplar(suffix, m.group(5), m.group(6), m.group(7));
    }
    value(suffix, labels, value, m.group(3));
    place(name, suffix, labels, m.group(4));
    current.samples.add(new Read(name, labels, value));
  }

  private static boolean isOf(Group group, String name) {
    return suffixes(group).stream().anyMatch(s -> name.equals(group.name + s));
  }

  private static List<String> suffixes(Group group) {
    return SUFFIXES.getOrDefault(group.type, List.of(""));
  }

  private void exemplar(String suffix, String labels, String value, String time) {
    boolean allowed =
        (current.type.equals("counter") && suffix.equals("_total"))
            || (current.type.endsWith("histogram") && suffix.equals("_bucket"));
    must(allowed, "exemplar on " + current.type + " " + suffix);
    int length = 0;
    for (Map.Entry<String, String> label : labels(labels).entrySet()) {
      length += label.getKey().length() + label.getValue().length();
    }
    must(length <= MOST_EXEMPLAR, "exemplar too long");
    number(value);
    if (time != null) {
      time(time);
    }
  }

  private void value(String suffix, Map<String, String> labels, double value, String text) {
    boolean neverNegative =
        Set.of("_total", "_count", "_bucket", "_gcount", "_created").contains(suffix)
            || (current.type.matches("histogram|summary") && suffix.equals("_sum"));
    must(!(neverNegative && (value < 0 || Double.isNaN(value))), "negative or NaN " + suffix);
    switch (current.type) {
      case "info" -> must(value == 1, "info is not 1");
      case "stateset" -> {
        must(value == 0 || value == 1, "state is neither 0 nor 1");
        must(labels.containsKey(current.name), "state without its label");
      }
      case "summary" -> {
        if (suffix.isEmpty()) {
          must(labels.containsKey("quantile"), "summary without quantile");
          double quantile = number(labels.getOrDefault("quantile", ""));
          must(quantile >= 0 && quantile <= 1, "quantile out of range");
          must(value >= 0 || Double.isNaN(value), "negative quantile value");
        }
      }
      default -> {}
    }
    if (suffix.equals("_bucket")) {
      must(labels.containsKey("le"), "bucket without le");
      String le = labels.getOrDefault("le", "");
      must(le.equals("+Inf") || DECIMAL.matcher(le).matches(), "no bound " + le);
    }
    boolean counts = Set.of("_bucket", "_gcount").contains(suffix) || suffix.equals("_count");
    must(!counts || value == Math.rint(value), "not a whole count " + text);
  }

  /** Label sets in one piece, no doubles, times forward. */
  private void place(String name, String suffix, Map<String, String> labels, String time) {
    Map<String, String> group = new TreeMap<>(labels);
    if (suffix.equals("_bucket")) {
      group.remove("le");
    }
    if (current.type.equals("summary") && suffix.isEmpty()) {
      group.remove("quantile");
    }
    if (current.type.equals("stateset")) {
      group.remove(current.name);
    }
    String key = group.toString();
    if (!current.group.equals(key)) {
      must(current.groups.add(key), "label sets interleaved: " + key);
      current.group = key;
    }
    boolean isTimed = time != null;
    Boolean before = current.timed.putIfAbsent(key, isTimed);
    must(before == null || before == isTimed, "some samples of a group have times, some not");
    String series = name + new TreeMap<>(labels);
    if (isTimed) {
      double at = time(time);
      Double earlier = current.times.put(key, at);
      must(earlier == null || at >= earlier, "time goes back");
    } else {
      must(current.keys.add(series), "series twice: " + series);
    }
  }

  private void finish() {
    if (!hasFamily) {
      return;
    }
    Group f = current;
    must(f.unit.isEmpty() || f.name.endsWith("_" + f.unit), "unit does not end " + f.name);
    must(f.unit.isEmpty() || !Set.of("info", "stateset").contains(f.type), "unit on " + f.type);
    for (String suffix : suffixes(f)) {
      must(sampleNames.add(f.name + suffix), "names clash: " + f.name + suffix);
    }
    // The bare name of any family is taken too.
    if (!suffixes(f).contains("")) {
      must(sampleNames.add(f.name), "names clash: " + f.name);
    }
    if (f.type.endsWith("histogram")) {
      histogram(f);
    }
  }

  private static void histogram(Group family) {
    Map<String, List<Read>> byGroup = new LinkedHashMap<>();
    for (Read sample : family.samples) {
      Map<String, String> key = new TreeMap<>(sample.labels());
      key.remove("le");
      byGroup.computeIfAbsent(key.toString(), k -> new ArrayList<>()).add(sample);
    }
    byGroup.values().forEach(group -> buckets(family, group));
  }

  private static void buckets(Group family, List<Read> group) {
    double bound = Double.NEGATIVE_INFINITY;
    double count = -1;
    boolean hasInfinite = false;
    boolean hasNegative = false;
    Map<String, Double> others = new HashMap<>();
    for (Read sample : group) {
      String suffix = sample.name().substring(family.name.length());
      if (!suffix.equals("_bucket")) {
        others.put(suffix, sample.value());
        continue;
      }
      double le = number(sample.labels().getOrDefault("le", ""));
      must(le > bound, "buckets out of order");
      must(count < 0 || sample.value() >= count, "buckets fall");
      bound = le;
      count = sample.value();
      hasInfinite |= le == Double.POSITIVE_INFINITY;
      hasNegative |= le < 0;
    }
    must(hasInfinite, "no +Inf bucket");
    boolean isGauge = family.type.equals("gaugehistogram");
    String sum = isGauge ? "_gsum" : "_sum";
    String total = isGauge ? "_gcount" : "_count";
    must(
        others.containsKey(sum) == others.containsKey(total),
        sum + " and " + total + " go together");
    must(!others.containsKey(total) || others.get(total) == count, "count is not the last bucket");
    must(isGauge || !hasNegative || !others.containsKey(sum), "sum with negative buckets");
    boolean isNegativeSum = others.containsKey(sum) && !(others.get(sum) >= 0);
    must(!isNegativeSum || (isGauge && hasNegative), "negative sum without negative buckets");
  }

  private static Map<String, String> labels(String text) {
    Map<String, String> labels = new LinkedHashMap<>();
    if (text == null) {
      return labels;
    }
    Matcher m = ONE_LABEL.matcher(text);
    while (m.find()) {
      must(labels.put(m.group(1), unescaped(m.group(2))) == null, "label twice: " + m.group(1));
    }
    return labels;
  }

  private static String unescaped(String text) {
    StringBuilder out = new StringBuilder();
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c != '\\' || i + 1 == text.length()) {
        out.append(c);
        continue;
      }
      char next = text.charAt(++i);
      switch (next) {
        case 'n' -> out.append('\n');
        case '"', '\\' -> out.append(next);
        default -> out.append('\\').append(next);
      }
    }
    return out.toString();
  }

  private static double number(String text) {
    return switch (text.toLowerCase(java.util.Locale.ROOT)) {
      case "nan" -> Double.NaN;
      case "+inf", "inf", "+infinity", "infinity" -> Double.POSITIVE_INFINITY;
      case "-inf", "-infinity" -> Double.NEGATIVE_INFINITY;
      default -> {
        must(DECIMAL.matcher(text).matches(), "no number: " + text);
        yield Double.parseDouble(text);
      }
    };
  }

  private static double time(String text) {
    double time = number(text);
    must(Double.isFinite(time), "no time: " + text);
    return time;
  }
}
