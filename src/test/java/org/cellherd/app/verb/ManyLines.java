package org.cellherd.app.verb;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;

/** A process of its own that tries many command lines, one a line, words parted by tabs. */
public final class ManyLines {

  private ManyLines() {}

  public static void main(String[] args) throws IOException {
    PrintWriter answers = new PrintWriter(System.out, true, StandardCharsets.UTF_8);
    for (String line : Files.readAllLines(Path.of(args[0]))) {
      StringWriter out = new StringWriter();
      StringWriter err = new StringWriter();
      int code =
          RootCommand.commandLine()
              .setOut(new PrintWriter(out, true))
              .setErr(new PrintWriter(err, true))
              .execute(line.split("\t"));
      Facts facts =
          Facts.of()
              .put("code", code)
              .put("out", out.toString().lines().count())
              .put("err", err.toString())
              .build();
      answers.println(JsonText.of(facts));
    }
  }
}
