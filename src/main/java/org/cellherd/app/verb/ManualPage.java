package org.cellherd.app.verb;

import java.util.Map;
import java.util.TreeMap;
import org.cellherd.pack.Cautions;
import picocli.CommandLine;
import picocli.CommandLine.Help;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.Model.PositionalParamSpec;

/** The manual page of the program in the man macros of troff. */
final class ManualPage {

  private static final Map<String, String> FILES =
      new TreeMap<>(
          Map.of(
              "/etc/cellherd/cellherd.toml", "the config of the service",
              "/var/lib/cellherd/cellherd.db", "its log; members of the group cellherd may read it",
              "/usr/share/doc/cellherd/examples/buzzer.conf",
                  "drop-in for the service: opens sound or GPIO to [[alert.command]]",
              "/usr/share/cellherd/protocol-specs",
                  "descriptions of invented boards, to learn from",
              "/usr/share/cellherd/simulators", "scenarios for the verb simulate"));

  private final StringBuilder page = new StringBuilder();

  private ManualPage() {}

  static String of(CommandLine program) {
    ManualPage page = new ManualPage();
    page.whole(program);
    return page.page.toString();
  }

  private void whole(CommandLine program) {
    CommandSpec spec = program.getCommandSpec();
    line(".TH CELLHERD 1 \"\" \"cellherd\" \"User Commands\"");
    section("NAME");
    text("cellherd - watches the cells of rebuilt battery packs");
    section("SYNOPSIS");
    line(".B cellherd");
    line(".I VERB");
    line("[options]");
    section("DESCRIPTION");
    text(String.join(" ", spec.usageMessage().description()));
    section("VERBS");
    spec.subcommands().values().stream()
        .filter(verb -> !verb.getCommandName().equals("help"))
        .forEach(verb -> verb(verb, ""));
    section("OPTIONS OF ALL VERBS");
    spec.options().forEach(this::option);
    section("FILES");
    FILES.forEach(this::term);
    section("EXIT STATUS");
    text("0 done, 1 a check said no, 2 wrong usage or file, 3 line to a board,");
    text("4 the log's file, 5 MQTT broker.");
    section("CAUTIONS");
    Cautions.LIST.forEach(this::text);
  }

  private void verb(CommandLine verb, String before) {
    CommandSpec spec = verb.getCommandSpec();
    String name = before + spec.name();
    line(".SS \"cellherd " + name + "\"");
    text(String.join(" ", spec.usageMessage().header()));
    text(String.join(" ", spec.usageMessage().description()));
    spec.positionalParameters().forEach(this::parameter);
    spec.options().stream().filter(ManualPage::isOfTheVerb).forEach(this::option);
    spec.subcommands().values().stream()
        .filter(inner -> !inner.getCommandName().equals("help"))
        .forEach(inner -> verb(inner, name + " "));
  }

  /** Not what every verb has. */
  private static boolean isOfTheVerb(OptionSpec option) {
    return !option.hidden() && !option.inherited() && !option.usageHelp() && !option.versionHelp();
  }

  private void parameter(PositionalParamSpec parameter) {
    term(parameter.paramLabel(), String.join(" ", parameter.description()));
  }

  private void option(OptionSpec option) {
    String label = option.arity().max() == 0 ? "" : "=" + option.paramLabel();
    String words =
        String.join(" ", option.description())
            .replace("${DEFAULT-VALUE}", String.valueOf(option.defaultValue()))
            .replace("${COMPLETION-CANDIDATES}", candidates(option));
    term(option.longestName() + label, Help.Ansi.OFF.string(words));
  }

  private static String candidates(OptionSpec option) {
    return option.completionCandidates() == null
        ? ""
        : String.join(", ", option.completionCandidates());
  }

  private void section(String name) {
    line(".SH " + name);
  }

  private void term(String term, String words) {
    line(".TP");
    line("\\fB" + escaped(term) + "\\fR");
    text(words);
  }

  private void text(String words) {
    if (!words.isBlank()) {
      line(escaped(words.strip()));
    }
  }

  /** Hyphens stay hyphens and no line is taken for a request. */
  private static String escaped(String words) {
    String plain = words.replace("\\", "\\e").replace("-", "\\-");
    return plain.startsWith(".") || plain.startsWith("'") ? "\\&" + plain : plain;
  }

  private void line(String line) {
    page.append(line).append('\n');
  }
}
