package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.List;

/**
 * What one command line said, run within this process.
 *
 * @param code its exit code
 * @param out its standard output
 * @param err its standard error
 */
record Said(int code, String out, String err) {

  static Said by(String... words) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    int code =
        RootCommand.commandLine(words)
            .setOut(new PrintWriter(out, true))
            .setErr(new PrintWriter(err, true))
            .execute(words);
    return new Said(code, out.toString(), err.toString());
  }

  /** The standard output of a command line that must succeed. */
  static String whenDone(List<String> words) {
    Said said = by(words.toArray(new String[0]));
    assertThat(said.code()).as("%s: %s", words, said.err()).isZero();
    return said.out();
  }
}
