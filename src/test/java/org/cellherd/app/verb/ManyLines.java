package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.cellherd.JavaCommand;
import org.cellherd.Tools;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonText;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.Facts;

/** A process of its own that tries many command lines, one a line, words parted by tabs. */
public final class ManyLines {

  private ManyLines() {}

  /**
   * What a process says to each line that has no right but those which the files give, and those of
   * a group.
   */
  static List<JsonValue> answers(Path folder, List<List<String>> asked, String group)
      throws IOException, InterruptedException, JsonReader.Problem {
    Path lines = folder.resolve("lines.txt");
    Files.write(lines, asked.stream().map(words -> String.join("\t", words)).toList());
    List<String> command = new ArrayList<>();
    if (System.getProperty("user.name").equals("root")) {
      Tools.require("setpriv");
      command.addAll(List.of("setpriv", "--groups=" + group));
      command.addAll(List.of("--bounding-set=-dac_override,-dac_read_search", "--inh-caps=-all"));
    }
    command.addAll(JavaCommand.of(JavaCommand.SHORT, ManyLines.class.getName(), lines.toString()));
    Path out = folder.resolve("answers.txt");
    Process process =
        new ProcessBuilder(command)
            .redirectOutput(out.toFile())
            .redirectError(folder.resolve("errors.txt").toFile())
            .start();
    process.getOutputStream().close();
    if (!process.waitFor(400, TimeUnit.SECONDS)) {
      process.destroyForcibly().waitFor();
    }
    JsonReader reader = new JsonReader(new JsonReader.Limits(1 << 20, 9, 1 << 20, 1_000));
    List<JsonValue> answers = new ArrayList<>();
    for (String line : Files.readAllLines(out)) {
      answers.add(reader.read(line));
    }
    assertThat(answers)
        .as("%s", Files.readString(folder.resolve("errors.txt")))
        .hasSameSizeAs(asked);
    return answers;
  }

  public static void main(String[] args) throws IOException {
    PrintWriter answers = new PrintWriter(System.out, true, StandardCharsets.UTF_8);
    for (String line : Files.readAllLines(Path.of(args[0]))) {
      StringWriter out = new StringWriter();
      StringWriter err = new StringWriter();
      String[] words = line.split("\t");
      int code =
          RootCommand.commandLine(words)
              .setOut(new PrintWriter(out, true))
              .setErr(new PrintWriter(err, true))
              .execute(words);
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
