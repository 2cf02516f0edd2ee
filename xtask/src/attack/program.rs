//! The program under attack: started, asked, killed.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail, ensure};
use serde_json::Value;

/// The app, serving a record in a folder of its own.
pub struct Served {
    child: Child,
    folder: tempfile::TempDir,
    program: PathBuf,
    /// Where it is asked on this machine.
    pub here: SocketAddr,
    /// Where other devices ask, if any may.
    pub network: Option<SocketAddr>,
    /// The code that lets them in.
    pub code: Option<String>,
}

/// An answer: its status, its body, and how long it took.
pub struct Answer {
    pub status: u16,
    pub body: String,
    pub took: Duration,
}

/// Nobody waits longer for an answer.
const PATIENCE: Duration = Duration::from_mins(5);

impl Served {
    /// Starts the program on an empty record, on this machine alone or open to the network.
    pub fn start(program: &Path, network: bool) -> Result<Self> {
        let folder = tempfile::tempdir()?;
        let (child, said) = launch(&mut serve(program, folder.path(), network))?;
        let mut served = Self {
            child,
            folder,
            program: program.to_owned(),
            here: SocketAddr::from(([127, 0, 0, 1], 0)),
            network: None,
            code: None,
        };
        served.hear(&said)?;
        Ok(served)
    }

    /// Where its record lies.
    pub fn record(&self) -> PathBuf {
        self.folder.path().join("a.record")
    }

    /// Another program that serves the same record. It must end before this one.
    pub fn another(&self) -> Result<Another> {
        let (child, said) = launch(&mut serve(&self.program, self.folder.path(), false))?;
        let here = addresses(&said).find(|at| at.ip().is_loopback()).context("the program did not say where it is")?;
        Ok(Another { child, here })
    }

    fn hear(&mut self, said: &[String]) -> Result<()> {
        let all: Vec<SocketAddr> = addresses(said).collect();
        self.here = *all.iter().find(|at| at.ip().is_loopback()).context("the program did not say where it is")?;
        self.network = all.iter().find(|at| !at.ip().is_loopback()).copied();
        let code = said.iter().find_map(|line| line.split_once("with the code ")).map(|(_, code)| code);
        self.code = code.map(|code| code.chars().filter(char::is_ascii_digit).collect());
        Ok(())
    }

    /// Kills it as a power cut would, and starts it on the same record again.
    pub fn kill_and_start_again(&mut self) -> Result<()> {
        self.child.kill()?;
        self.child.wait()?;
        let (child, said) = launch(&mut serve(&self.program, self.folder.path(), false))?;
        self.child = child;
        self.hear(&said)
    }

    /// Asks on this machine.
    pub fn ask(&self, path: &str, body: Option<&Value>) -> Result<Answer> {
        ask(self.here, path, body)
    }

    /// The same, and it must be answered well.
    pub fn must(&self, path: &str, body: Option<&Value>) -> Result<Value> {
        let answer = self.ask(path, body)?;
        ensure!(answer.status == 200, "{path}: {} {}", answer.status, answer.body);
        Ok(serde_json::from_str(&answer.body).unwrap_or(Value::Null))
    }

    /// Memory it holds, in MB, where the system tells.
    pub fn memory_mb(&self) -> Option<f64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find(|line| line.starts_with("VmRSS"))?;
        Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        end(&mut self.child);
    }
}

/// A program that serves the record of another.
pub struct Another {
    child: Child,
    /// Where it is asked.
    pub here: SocketAddr,
}

impl Drop for Another {
    fn drop(&mut self) {
        end(&mut self.child);
    }
}

fn end(child: &mut Child) {
    // It may have ended by itself.
    let _ = child.kill();
    let _ = child.wait();
}

fn serve(program: &Path, folder: &Path, network: bool) -> Command {
    let mut command = Command::new(program);
    command.args(["serve", "--port", "0", "--record"]).arg(folder.join("a.record"));
    command.args(network.then_some("--network")).stderr(Stdio::null());
    command
}

/// The addresses that the program says it is at.
pub fn addresses(said: &[String]) -> impl Iterator<Item = SocketAddr> {
    said.iter().filter_map(|line| line.split_once("http://")?.1.split(['/', ' ']).next()?.parse().ok())
}

/// Starts a command that serves, and hears what it says until it is ready.
pub fn launch(command: &mut Command) -> Result<(Child, Vec<String>)> {
    let mut child = command.stdout(Stdio::piped()).spawn().with_context(|| format!("cannot start {command:?}"))?;
    let out = child.stdout.take().context("the program has no output")?;
    let mut said = Vec::new();
    for line in BufReader::new(out).lines() {
        let line = line?;
        let last = line.starts_with("Ctrl-C");
        said.push(line);
        if last {
            return Ok((child, said));
        }
    }
    bail!("the program ended: {}", said.join("\n"))
}

/// Asks once, on a connection of its own.
pub fn ask(at: SocketAddr, path: &str, body: Option<&Value>) -> Result<Answer> {
    send(at, path, body.map(Value::to_string).as_deref())
}

/// The same with a body as it is.
pub fn send(at: SocketAddr, path: &str, body: Option<&str>) -> Result<Answer> {
    let start = Instant::now();
    let mut stream = TcpStream::connect_timeout(&at, PATIENCE)?;
    stream.set_read_timeout(Some(PATIENCE))?;
    let host = SocketAddr::to_string(&at);
    let request = match body {
        None => format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"),
        Some(body) => {
            format!(
                "POST {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nContent-Type: application/json\r\n\
                 Content-Length: {}\r\n\r\n{body}",
                body.len()
            )
        }
    };
    stream.write_all(request.as_bytes())?;
    let mut said = Vec::new();
    stream.read_to_end(&mut said)?;
    let said = String::from_utf8_lossy(&said).into_owned();
    let status = said.split_whitespace().nth(1).and_then(|status| status.parse().ok());
    let status = status.context("closed without an answer")?;
    let body = said.split_once("\r\n\r\n").map_or(String::new(), |(_, body)| body.to_owned());
    Ok(Answer { status, body, took: start.elapsed() })
}
