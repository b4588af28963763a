package org.cellherd.board;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.Tools;

/** A Modbus server in a process of its own, made of pymodbus; skips the test where it is absent. */
final class PythonServer implements AutoCloseable {
  private static final Path PYTHON = Path.of("/usr/bin/python3");
  private static final Path SCRIPTS = Path.of("src/test/resources/org/cellherd/board");

  private final Process process;

  PythonServer(String script, Path port, String... arguments) throws IOException {
    Tools.requirePythonModule(PYTHON, "pymodbus");
    Tools.requirePythonModule(PYTHON, "serial_asyncio");
    List<String> command = new ArrayList<>();
    command.add(PYTHON.toString());
    command.add(SCRIPTS.resolve(script).toString());
    command.add(port.toString());
    command.addAll(List.of(arguments));
    Path log = Files.createTempFile("modbus-server", ".log");
    process =
        new ProcessBuilder(command).redirectErrorStream(true).redirectOutput(log.toFile()).start();
    log.toFile().deleteOnExit();
  }

  boolean isServing() {
    return process.isAlive();
  }

  @Override
  public void close() {
    process.destroy();
    process.onExit().join();
  }
}
