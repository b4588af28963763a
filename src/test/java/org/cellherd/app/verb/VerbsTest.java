package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import org.junit.jupiter.api.Test;
import picocli.CommandLine;

class VerbsTest {

  @Test
  void aVerbIsListedByTheNameThatItGivesItself() {
    Map<String, CommandLine> all = RootCommand.commandLine().getSubcommands();
    assertThat(all).hasSizeGreaterThan(25);
    all.forEach(
        (name, verb) ->
            assertThat(named(verb.getCommandSpec().userObject()).name()).isEqualTo(name));
  }

  @Test
  void aCommandLineGetsItsOwnVerbAndAllWhereItNamesNone() {
    assertThat(verbsFor("balance", "--json")).containsExactly("balance");
    assertThat(verbsFor("--version")).isEmpty();
    for (String[] args :
        new String[][] {{}, {"help", "run"}, {"--help"}, {"balence"}, {"--verbose", "run"}}) {
      assertThat(verbsFor(args)).contains("run", "balance", "help");
    }
  }

  private static Iterable<String> verbsFor(String... args) {
    return RootCommand.commandLine(args).getSubcommands().keySet();
  }

  private static CommandLine.Command named(Object verb) {
    return verb.getClass().getAnnotation(CommandLine.Command.class);
  }
}
