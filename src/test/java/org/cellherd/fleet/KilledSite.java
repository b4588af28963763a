package org.cellherd.fleet;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import org.cellherd.JavaCommand;
import org.cellherd.mqtt.link.BrokerUrl;

/** A site in a process of its own, which grows and forwards until it is killed. */
final class KilledSite {

  private KilledSite() {}

  /** NAME FOLDER BROKER SEED RUN HOUR; prints each hour that its log holds. */
  public static void main(String[] args) throws Exception {
    FleetSite site =
        new FleetSite(args[0], Path.of(args[1]), BrokerUrl.of(args[2]), number(args[3]));
    site.goOn(number(args[4]), number(args[5]));
    site.forward(300);
    while (true) {
      System.out.println(site.grow(1));
    }
  }

  private static long number(String text) {
    return Long.parseLong(text);
  }

  /** Lets a site live until so many hours are in its log, and returns the last hour it began. */
  static long live(List<String> arguments, int hours) throws IOException, InterruptedException {
    ProcessBuilder builder =
        new ProcessBuilder(JavaCommand.of(JavaCommand.SHORT, KilledSite.class.getName()));
    builder.command().addAll(arguments);
    Process process = builder.redirectError(ProcessBuilder.Redirect.INHERIT).start();
    long last = number(arguments.get(arguments.size() - 1));
    try (BufferedReader said =
        new BufferedReader(
            new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
      String line = said.readLine();
      for (int n = 1; line != null; line = said.readLine(), n++) {
        last = number(line);
        if (n == hours) {
          process.toHandle().destroyForcibly();
        }
      }
    }
    process.waitFor();
    return last + 1;
  }
}
