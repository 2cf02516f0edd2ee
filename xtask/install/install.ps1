<#
.SYNOPSIS
Installs boardwise VERSION_HERE for the present user of Windows, or takes it away again. Your record is never touched.

.DESCRIPTION
It compares the SHA-256 checksum of what it got with the list SHA256SUMS from the same place, and changes nothing if
they differ.

.PARAMETER From
A folder, or an address that begins with http:// or https://. Left out: the folder that this script is in.

.PARAMETER Into
The folder for the program. Left out: Programs\boardwise in your local application data.

.PARAMETER Uninstall
Takes away what this script installed.
#>
param([string]$From = '', [string]$Into = '', [switch]$Uninstall)
$ErrorActionPreference = 'Stop'
$ProgressPreference = 'SilentlyContinue'

$Version = 'VERSION_HERE'
$Address = ''
if (-not $From -and $env:BOARDWISE_FROM) { $From = $env:BOARDWISE_FROM }
if (-not $From) { $From = $Address }
if (-not $From) { $From = $PSScriptRoot }
if (-not $Into) { $Into = Join-Path $env:LOCALAPPDATA 'Programs\boardwise' }
$List = Join-Path $Into 'installed'

# The user's own PATH as a list, without empty parts.
function Get-Places { @([Environment]::GetEnvironmentVariable('Path', 'User') -split ';' | Where-Object { $_ }) }
function Set-Places($places) { [Environment]::SetEnvironmentVariable('Path', ($places -join ';'), 'User') }

# Takes away every file on the list, then the folders that this leaves empty.
function Remove-Installed {
    foreach ($file in Get-Content $List) {
        if ($file -match '\.\.' -or [IO.Path]::IsPathRooted($file)) { throw "$List is damaged: $file" }
        Remove-Item -Force -ErrorAction SilentlyContinue (Join-Path $Into $file)
    }
    Remove-Item -Force $List
    foreach ($folder in (Join-Path $Into 'completions'), $Into) {
        if ((Test-Path $folder) -and -not (Get-ChildItem -Force $folder)) { Remove-Item $folder }
    }
}

if ($Uninstall) {
    if (-not (Test-Path $List)) { throw "nothing of this installer is in $Into; -Into names another folder" }
    Remove-Installed
    Set-Places (Get-Places | Where-Object { $_ -ne $Into })
    Write-Output "boardwise is gone from $Into. Your record stays: $(Join-Path $env:APPDATA 'boardwise')"
    return
}

$Name = "boardwise-$Version-x86_64-pc-windows-gnu"
$Work = Join-Path ([IO.Path]::GetTempPath()) ([Guid]::NewGuid())
New-Item -ItemType Directory $Work | Out-Null
try {
    foreach ($file in 'SHA256SUMS', "$Name.zip") {
        if ($From -match '^https?://') {
            Invoke-WebRequest -UseBasicParsing -Uri "$($From.TrimEnd('/'))/$file" -OutFile (Join-Path $Work $file)
        } else {
            Copy-Item (Join-Path $From $file) $Work
        }
    }
    $stated = Get-Content (Join-Path $Work 'SHA256SUMS') | Where-Object { $_ -match "^[0-9a-f]{64}  $([regex]::Escape("$Name.zip"))$" }
    if (-not $stated) { throw "SHA256SUMS does not name $Name.zip; nothing was changed" }
    $found = (Get-FileHash -Algorithm SHA256 (Join-Path $Work "$Name.zip")).Hash.ToLower()
    if ($found -ne $stated.Substring(0, 64)) { throw "$Name.zip is damaged: its checksum is $found; nothing was changed" }
    Expand-Archive -Path (Join-Path $Work "$Name.zip") -DestinationPath $Work

    # What an earlier version left goes first, so that no file of it stays.
    if (Test-Path $List) { Remove-Installed }
    New-Item -ItemType Directory -Force (Join-Path $Into 'completions') | Out-Null
    $files = 'boardwise.exe', 'completions\boardwise.ps1', 'LICENSE-APACHE', 'LICENSE-MIT', 'THIRD-PARTY.md'
    foreach ($file in $files) { Copy-Item -Force (Join-Path "$Work\$Name" $file) (Join-Path $Into $file) }
    Set-Content -Path $List -Value $files
} finally {
    Remove-Item -Recurse -Force $Work
}

if ((Get-Places) -notcontains $Into) {
    Set-Places (@(Get-Places) + $Into)
    Write-Output 'Open a new terminal, so that it finds boardwise.'
}
Write-Output "boardwise $Version is at $(Join-Path $Into 'boardwise.exe')"
Write-Output 'Try: boardwise line        Take it away again: install.ps1 -Uninstall'
