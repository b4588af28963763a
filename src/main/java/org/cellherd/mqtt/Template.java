package org.cellherd.mqtt;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.UnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Text with placeholders such as {@code ${pack.id}}. */
final class Template {

  private static final Pattern PLACEHOLDER = Pattern.compile("\\$\\{([^}]*)}?");

  private final String text;

  Template(String text) {
    this.text = text;
  }

  /** Names in it that are not among the known ones. */
  List<String> unknown(Map<String, String> known) {
    List<String> unknown = new ArrayList<>();
    Matcher found = PLACEHOLDER.matcher(text);
    while (found.find()) {
      if (!found.group().endsWith("}") || !known.containsKey(found.group(1))) {
        unknown.add(found.group());
      }
    }
    return unknown;
  }

  List<String> names() {
    return PLACEHOLDER.matcher(text).results().map(found -> found.group(1)).toList();
  }

  /** The text with its placeholders replaced; each value goes through {@code write} first. */
  String render(Map<String, String> values, UnaryOperator<String> write) {
    return PLACEHOLDER
        .matcher(text)
        .replaceAll(
            found ->
                Matcher.quoteReplacement(write.apply(values.getOrDefault(found.group(1), ""))));
  }
}
