//! d
#[path = "../tests/oiled/mod.rs"]
mod oiled;
use boardwise_ball::*; use boardwise_lane::*; use boardwise_units::*;
fn main(){
  let lane=oiled::oil();
  let go=|name:&str, d:f64, surface:Surface, law:ContactLaw, f:Fineness, soak:Option<f64>, loft:f64|{
    let spec=BallSpec{surface,differential:Inches(d),..BallSpec::new("t",CoverKind::Reactive)}; let mut ball=Ball::new(spec).unwrap().0;
    if let Some(s)=soak { ball.cover.absorption_s=s; }
    let rel:Vec<Release>=(0..120).step_by(4).map(|i|{let f=f64::from(i)/120.0; Release{laydown:Board(12.0+10.0*f),launch:Degrees(1.0+(f*37.0)%2.0),rev_rate:Rpm(250.0+200.0*((f*91.0)%1.0)),loft:Feet(loft),..Release::default()}}).collect();
    let fin=Runway::new(&lane,&ball,&law).throw_many(&rel);
    let (mut w,mut m,mut n)=(0.0f64,0.0,0);
    for (r,x) in rel.iter().zip(fin){ let p=throw(&lane,&ball,r,&law,f).unwrap(); if let (Some(a),Some(b))=(p.touch,x.touch) && (a.pin,b.pin)==(1,1) { let e=b.board().0-a.board().0; w=w.max(e.abs()); m+=e; n+=1; } }
    println!("{name}: worst {w:.4} mean {:+.4} n {n}", m/n as f64);
  };
  let law=ContactLaw::default(); let r=Surface::sanded(500.0);
  let fine=|s,t|Fineness{step_s:s,track:t};
  let f=fine(2e-4,TrackForm::Ring);
  for l in [0.0,0.3,1.0,1.53,2.5,3.0] {
   go(&format!("loft {l} base"), 0.035, r, law, f, None, l);
   go(&format!("loft {l} no track"), 0.035, r, ContactLaw{track_share:0.0,..law}, fine(2e-4,TrackForm::Dry), None, l);
  }
}
